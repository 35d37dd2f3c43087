"""`xmlcheck library`: many files into one results file, to be stopped and resumed at will."""

from __future__ import annotations

import multiprocessing
import sys
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from rich.progress import Progress

    from xmlcheck.library import Done, Summary

EACH = 100
"""Files after which a line is printed where there is no terminal (ours)."""


@click.command("library", short_help="Check a whole library into one results file; can be resumed.")
@click.argument("paths", nargs=-1, required=True, type=options.PATH, metavar="PATH...")
@click.option("--results", required=True, type=options.PATH, metavar="FILE", help="Write a JSON line a file, and a summary.")
@click.option("--resume", is_flag=True, help="Take over what an earlier run has done and still holds.")
@options.hold_at
@click.option("-j", "--jobs", type=click.IntRange(1), default=1, metavar="N", help="Check N files at a time.")
@click.option("--executor", metavar="dask:ADDRESS", help="Let a running Dask cluster check the files (extra: cluster).")
@options.plugins
@options.instruments
@options.quiet
@click.pass_context
def command(
    context: click.Context,
    paths: tuple[Path, ...],
    results: Path,
    resume: bool,
    hold_at: str,
    jobs: int,
    executor: str | None,
    plugins: tuple[Path, ...],
    instruments: tuple[Path, ...],
    quiet: bool,
) -> None:
    """Check files and folders and write one JSON line for each to FILE. Nothing is written beside the scores.

    The run can be stopped at any moment; --resume goes on from there. A result is taken over only where the file, the tool,
    the plugins and the configuration are the same.

    The exit status is 2 where a file could not be checked, else 1 where anything reaches the grade to hold at, else 0.
    """
    from xmlcheck.cli.lazy import FAILED, FOUND
    from xmlcheck.finding import Grade
    from xmlcheck.library import run
    from xmlcheck.paths import Choices

    with ExitStack() as stack:
        pool = _executor(executor, jobs, stack)
        teller = _Teller(quiet, stack)
        summary = run(
            paths,
            results,
            choices=Choices(plugins=plugins, instruments=instruments),
            executor=pool,
            resume=resume,
            told=teller.told,
            begun=teller.begun,
        )
    if not quiet:
        click.echo(f"{results}: {_said(summary)}", err=True)
    held = any(count and Grade(grade).rank >= Grade(hold_at).rank for grade, count in summary.findings.items())
    context.exit(FAILED if summary.failed else FOUND if held else 0)


def _executor(name: str | None, jobs: int, stack: ExitStack) -> Executor | None:
    if name is None:
        if jobs < 2:
            return None
        spawn = multiprocessing.get_context("spawn")  # no lock of this process is copied in a locked state
        return stack.enter_context(ProcessPoolExecutor(jobs, spawn))
    kind, _, address = name.partition(":")
    if kind != "dask" or not address:
        raise click.BadParameter("say dask:ADDRESS, for example dask:tcp://127.0.0.1:8786", param_hint="--executor")
    try:
        import distributed
    except ImportError:
        raise click.UsageError('--executor needs the extra "cluster": pip install "xmlcheck[cluster]".') from None
    connect: Any = distributed.Client
    client = stack.enter_context(connect(address))
    executor: Executor = client.get_executor(pure=False)
    return executor


class _Teller:
    """A bar with files, notes and findings so far on a terminal, plain lines elsewhere, silence (but for errors) with --quiet."""

    def __init__(self, quiet: bool, stack: ExitStack) -> None:
        self._quiet, self._stack, self._count = quiet, stack, 0
        self._bar: Progress | None = None

    def begun(self, files: int) -> None:
        if self._quiet or not sys.stderr.isatty():
            return
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

        columns = (MofNCompleteColumn(), BarColumn(None), TextColumn("{task.description}", markup=False))
        self._bar = self._stack.enter_context(Progress(*columns, console=Console(stderr=True), transient=True, expand=True))
        self._bar.add_task("", total=files)

    def told(self, done: Done, summary: Summary) -> None:
        self._count += 1
        if self._bar is not None:
            if done.error:
                self._bar.console.print(f"xmlcheck: {done.error}", markup=False, highlight=False, soft_wrap=True)
            self._bar.update(self._bar.task_ids[0], advance=1, description=_found(summary))
            return
        if done.error:
            click.echo(f"xmlcheck: {done.error}", err=True)
        if not self._quiet and self._count % EACH == 0:
            click.echo(_said(summary), err=True)


def _said(summary: Summary) -> str:
    more = f"; {summary.failed} could not be checked" if summary.failed else ""
    taken = f" ({summary.taken_over} taken over)" if summary.taken_over else ""
    return f"{summary.files} files{taken}, {_found(summary)}{more}"


def _found(summary: Summary) -> str:
    return ", ".join((f"{summary.notes} notes", *(f"{count} {grade}" for grade, count in summary.findings.items())))
