"""`xmlcheck watch`: a line for each export as it is checked."""

from __future__ import annotations

import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from xmlcheck.cli import options

if TYPE_CHECKING:
    from xmlcheck.paths import Outcome


@click.command("watch", short_help="Check each export in a folder as it is made.")
@click.argument("folder", type=options.PATH)
@click.option("--out", type=options.PATH, metavar="DIR", help="Write outputs here, mirroring the folder (default: beside).")
@click.option("--no-write", is_flag=True, help="Write no files.")
@click.option("--jsonl", is_flag=True, help="Print findings as JSON, one line a file.")
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
    existing: bool,
    polling: bool,
    settle: float,
    plugins: tuple[Path, ...],
    instruments: tuple[Path, ...],
    quiet: bool,
) -> None:
    """Watch FOLDER and check each export once, when it is complete. Stop with Ctrl-C; what is under way is finished.

    The exit status is 1 where anything reached the grade to hold at, else 0.
    """
    from xmlcheck.paths import Choices
    from xmlcheck.watch import Pace, watch

    stopped: list[int] = []

    def stop(number: int, frame: Any) -> None:
        stopped.append(number)

    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, stop)
    if not quiet:
        click.echo(f"Watching {folder}; stop with Ctrl-C.", err=True)
    status = 0
    outcomes = watch(
        folder,
        Choices(plugins=plugins, instruments=instruments),
        stop=lambda: bool(stopped),
        pace=Pace(settle=settle),
        existing=existing,
        polling=polling or None,
    )
    for outcome in outcomes:
        status = max(status, _tell(outcome, folder, out, not no_write, jsonl, quiet))
    context.exit(status)


def _tell(outcome: Outcome, folder: Path, out: Path | None, writes: bool, jsonl: bool, quiet: bool) -> int:
    """Prints one outcome and writes its files; returns the exit status it asks for."""
    from xmlcheck import write
    from xmlcheck.cli.lazy import FAILED, FOUND
    from xmlcheck.errors import XmlcheckError
    from xmlcheck.output import json as findings_file
    from xmlcheck.paths import Found

    report = outcome.report
    if report is None:
        click.echo(f"xmlcheck: {outcome.error}", err=True)
        return FAILED
    counts = report.counts()
    if jsonl:
        sys.stdout.write(findings_file.line(report) + "\n")
    elif not quiet:
        told = ", ".join(f"{count} {grade}" for grade, count in counts.items())
        click.echo(f"{outcome.path}: {told}")
    sys.stdout.flush()
    status = 0
    if writes and outcome.data is not None:
        try:
            target = write.targets([Found(outcome.path, folder)], out)[outcome.path]
            write.outputs(target, report, outcome.data, outcome.config.marks)
        except XmlcheckError as error:
            click.echo(f"xmlcheck: {error}", err=True)
            status = FAILED
    worst = report.worst()
    return max(status, FOUND if worst is not None and worst.rank >= outcome.config.hold_at.rank else 0)
