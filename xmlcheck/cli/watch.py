"""`xmlcheck watch`: a line for each export as it is checked."""

from __future__ import annotations

import json
import os
import signal
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from xmlcheck.comparing import Comparison
    from xmlcheck.paths import Outcome
    from xmlcheck.watch import Previous


@click.command("watch", short_help="Check each export in a folder as it is made.")
@click.argument("folder", type=options.PATH)
@click.option("--out", type=options.PATH, metavar="DIR", help="Write outputs here, mirroring the folder (default: beside).")
@click.option("--no-write", is_flag=True, help="Write no files.")
@click.option("--jsonl", is_flag=True, help="Print JSON, one line an export: path, and report or error.")
@click.option("--compare-with-previous", is_flag=True, help="Say what changed since the last export of each part, too.")
@click.option("--existing", is_flag=True, help="Check what is in the folder at the start, too.")
@click.option("--polling", is_flag=True, help="Look for changes instead of being told (network drives).")
@click.option("--settle", type=click.FloatRange(0.05), default=0.4, show_default=True, help="Seconds a file must stand still.")
@options.plugins
@options.instruments
@options.quiet
@click.pass_context
def command(
    context: click.Context,
    folder: Path,
    out: Path | None,
    no_write: bool,
    jsonl: bool,
    compare_with_previous: bool,
    existing: bool,
    polling: bool,
    settle: float,
    plugins: tuple[Path, ...],
    instruments: tuple[Path, ...],
    quiet: bool,
) -> None:
    """Watch FOLDER and check each export once, when it is complete.

    Stop with Ctrl-C (or SIGTERM): every export that is complete by then is still checked; a second Ctrl-C leaves them out.
    The file in work is finished either way.

    The exit status is 2 where an export could not be read or an output not be written, else 1 where anything reached the grade
    to hold at, else 0.
    """
    stopped = _stops(quiet)

    from xmlcheck.paths import Choices
    from xmlcheck.watch import Pace, Previous, watch

    with ExitStack() as stack:
        previous = stack.enter_context(Previous()) if compare_with_previous else None
        outcomes = watch(
            folder,
            Choices(plugins=plugins, instruments=instruments),
            stop=lambda: len(stopped) > 0,
            at_once=lambda: len(stopped) > 1,
            pace=Pace(settle=settle),
            existing=existing,
            polling=polling or None,
            previous=previous,
        )
        if not quiet:
            click.echo(f"Watching {folder}; stop with Ctrl-C.", err=True)
        desk = _Desk(folder, out, not no_write, jsonl, quiet, previous)
        status = max(map(desk.take, outcomes), default=0)
    context.exit(status)


def _stops(quiet: bool) -> list[int]:
    """The signals to stop that have come so far; from now on they end nothing by themselves, so that no file is cut short."""
    stopped: list[int] = []

    def stop(number: int, frame: Any) -> None:
        stopped.append(number)
        if not quiet and len(stopped) == 1:  # by the bare descriptor: the buffers may be in use at this very moment
            os.write(2, b"Stopping: exports that are complete are still checked; Ctrl-C again leaves them out.\n")

    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)  # a closed terminal says SIGHUP, where there is such a signal
        if number is not None and not (name == "SIGHUP" and signal.getsignal(number) is signal.SIG_IGN):
            signal.signal(number, stop)
    return stopped


class _Desk:
    """Takes outcomes as they come: writes their files, prints a line, answers with the exit status that each asks for."""

    def __init__(
        self, folder: Path, out: Path | None, writes: bool, jsonl: bool, quiet: bool, previous: Previous | None
    ) -> None:
        self._folder, self._out, self._writes = folder, out, writes
        self._jsonl, self._quiet, self._previous = jsonl, quiet, previous

    def take(self, outcome: Outcome) -> int:
        from xmlcheck.cli.lazy import FOUND

        status, comparison = 0, None
        try:
            self._write(outcome)
        except Exception as error:  # a fault of ours with one file too; the others are still checked
            status = self._fail(outcome, error)
        try:
            comparison = self._previous.since(outcome) if self._previous is not None else None
        except Exception as error:
            status = self._fail(outcome, error)
        if outcome.error is not None:
            status = self._fail(outcome, outcome.error)
        self._tell(outcome, comparison)
        worst = outcome.report.worst() if outcome.report is not None else None
        return max(status, FOUND if worst is not None and worst.rank >= outcome.config.hold_at.rank else 0)

    def _write(self, outcome: Outcome) -> None:
        from xmlcheck import write
        from xmlcheck.paths import Found

        if self._writes and outcome.report is not None and outcome.data is not None:
            target = write.targets([Found(outcome.path, self._folder)], self._out)[outcome.path]
            write.outputs(target, outcome.report, outcome.data, outcome.config.marks)

    def _tell(self, outcome: Outcome, comparison: Comparison | None) -> None:
        if self._jsonl:
            line: dict[str, Any] = {"path": str(outcome.path)}
            line |= {"report": outcome.report.to_dict()} if outcome.report is not None else {"error": str(outcome.error)}
            if self._previous is not None:
                line["comparison"] = comparison.to_dict() if comparison is not None else None
            text = json.dumps(line, ensure_ascii=False, allow_nan=False)
            click.echo(text.encode(errors="backslashreplace"))  # half a character in a file name becomes its JSON escape
        elif outcome.report is not None and not self._quiet:
            from xmlcheck.output.page import printable
            from xmlcheck.watch.telling import told

            counts = ", ".join(f"{count} {grade}" for grade, count in outcome.report.counts().items())
            click.echo(f"{printable(outcome.path)}: {counts}")
            if comparison is not None:
                click.echo(f"  {told(comparison)}")

    def _fail(self, outcome: Outcome, error: Exception) -> int:
        from xmlcheck.cli.lazy import FAILED
        from xmlcheck.errors import XmlcheckError

        fault = f"{outcome.path}: failed by a fault of our own ({type(error).__name__}: {error}); please report it."
        click.echo(f"xmlcheck: {error if isinstance(error, XmlcheckError) else fault}", err=True)
        return FAILED
