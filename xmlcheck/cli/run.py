"""One run of `check`: outcomes one by one, printed and written as they come; the highest exit status wins."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from concurrent.futures import Executor
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import click

from xmlcheck import paths as paths_of
from xmlcheck import write
from xmlcheck.cli.lazy import FAILED, FOUND
from xmlcheck.config import MARKS, Marks
from xmlcheck.errors import XmlcheckError, harmless
from xmlcheck.finding import Grade, Report
from xmlcheck.output import json as findings_file
from xmlcheck.output import page, terminal
from xmlcheck.paths import STDIN, Choices, Found, Outcome


@dataclass(frozen=True, slots=True)
class Run:
    """The options of `check`. out: None writes beside. marks, hold_at: None takes what the configuration says."""

    paths: tuple[Path, ...]
    choices: Choices
    out: Path | None
    writes: bool
    marks: str | None
    json: bool
    hold_at: str | None
    jobs: int
    quiet: bool
    html: bool = False
    second_reader: bool = False


def run(options: Run) -> int:
    """Checks, prints, writes; returns the exit status. Raises XmlcheckError where the outputs cannot be placed."""
    found = paths_of.gather(options.paths)
    files = [item for item in found if isinstance(item, Found)]
    targets = write.targets(files, options.out) if options.writes else {}
    named = frozenset(item.path.resolve() for item in files if item.path != STDIN and item.root is None)
    single = len(options.paths) == 1 and not os.path.isdir(options.paths[0])
    desk = _Desk(options, single)
    with ExitStack() as stack:
        executor: Executor | None = None
        if options.jobs > 1 and len(files) > 1:
            import multiprocessing
            from concurrent.futures import ProcessPoolExecutor

            spawn = multiprocessing.get_context("spawn")  # no lock of this process is copied in a locked state
            executor = stack.enter_context(ProcessPoolExecutor(min(options.jobs, len(files)), spawn))
        for outcome in _told(paths_of.outcomes(found, options.choices, executor), len(found), options.quiet):
            desk.take(outcome, targets.get(outcome.path), named)
    return desk.close()


class _Desk:
    """Takes outcomes in order; keeps the exit status and what is to be said at the end."""

    def __init__(self, options: Run, single: bool) -> None:
        self.options, self.single = options, single
        self.status = 0
        self.reports: list[Report] = []
        self.failed = self.skipped = 0
        self._sheet = page.sheet_for(sys.stdout)

    def take(self, outcome: Outcome, target: write.Target | None, named: frozenset[Path]) -> None:
        """Prints and writes one outcome."""
        if outcome.skipped is not None:
            self.skipped += 1
            self._talk(f"{outcome.path}: skipped: {outcome.skipped}.")
        elif outcome.error is not None:
            self._fail(outcome.error)
        elif outcome.report is not None:
            self.reports.append(outcome.report)
            hold = Grade(self.options.hold_at) if self.options.hold_at else outcome.config.hold_at
            worst = outcome.report.worst()
            if worst is not None and worst.rank >= hold.rank:
                self.status = max(self.status, FOUND)
            self._print(outcome, outcome.report)
            if self.options.second_reader and outcome.data is not None:
                self._second(outcome, outcome.report, outcome.data)
            if target is not None and outcome.data is not None:
                self._write(outcome, target, outcome.report, outcome.data, named)

    def close(self) -> int:
        """The last words, and the exit status."""
        parts = {key for report in self.reports for part in report.parts for key in (part.id, part.name)}
        folded = {" ".join(key.split()).casefold() for key in parts}
        for name in self.options.choices.parts:
            if self.reports and name not in parts and " ".join(name.split()).casefold() not in folded:
                self._talk(f"--part {name}: no part of this id or name.")
        if not self.reports and not self.failed:
            self._fail(XmlcheckError("nothing to check: only annotated files and files that are no scores."))
        if not (self.single or self.options.json or self.options.quiet):
            counts = [sum(report.counts()[grade.value] for report in self.reports) for grade in reversed(Grade)]
            told = ", ".join(f"{count} {grade.value}" for count, grade in zip(counts, reversed(Grade), strict=True))
            more = f"; {self.failed} could not be checked" if self.failed else ""
            self._show([(), ((f"{_files(len(self.reports))} checked: {told}{more}", "strong"),)])
        return self.status

    def _print(self, outcome: Outcome, report: Report) -> None:
        if self.options.json:
            text = findings_file.text(report) if self.single else findings_file.line(report) + "\n"
            sys.stdout.buffer.write(text.encode())
            return
        name = report.source.name if self.single else str(outcome.path)
        gap: list[page.Line] = [(), ()] if len(self.reports) > 1 else []
        self._show([*gap, *terminal.table(report, self._sheet, name)])

    def _show(self, lines: Iterable[page.Line]) -> None:
        if not self.options.quiet:
            page.show(lines, sys.stdout, self._sheet)

    def _write(self, outcome: Outcome, target: write.Target, report: Report, data: bytes, named: frozenset[Path]) -> None:
        try:
            written = write.outputs(target, report, data, self._marks(outcome), named, self.options.html)
        except XmlcheckError as error:
            self._fail(error)
            return
        *first, last = map(str, written)
        self._talk(f"{outcome.path}: wrote {', '.join(first)} and {last}.")

    def _second(self, outcome: Outcome, report: Report, data: bytes) -> None:
        """Proves by another reader that the marks change no note; where they do, the job was not done."""
        from xmlcheck.annotation import annotate
        from xmlcheck.comparing.second_reader import second_reading, told

        verdict = second_reading(data, annotate(data, report, self._marks(outcome)))
        if verdict.same is False:
            self._fail(XmlcheckError(f"{outcome.path}: {told(verdict)}; please report it."))
        else:
            self._talk(f"{outcome.path}: {told(verdict)}.")

    def _marks(self, outcome: Outcome) -> Marks:
        return next((mark for mark in MARKS if mark == self.options.marks), outcome.config.marks)

    def _fail(self, error: XmlcheckError) -> None:
        self.failed += 1
        self.status = FAILED
        click.echo(f"xmlcheck: {error}", err=True)

    def _talk(self, text: str) -> None:
        if not self.options.quiet:
            click.echo(harmless(text), err=True)


def _files(count: int) -> str:
    return f"{count} file{'' if count == 1 else 's'}"


def _told(outcomes: Iterable[Outcome], count: int, quiet: bool) -> Iterator[Outcome]:
    """The outcomes, with a progress bar on a terminal for several files; what is printed then waits until it is done."""
    if quiet or count < 2 or not sys.stderr.isatty():
        yield from outcomes
        return
    from rich.console import Console
    from rich.progress import track

    waiting = []
    for outcome in track(outcomes, "Checking", count, console=Console(stderr=True), transient=True):
        if sys.stdout.isatty():
            waiting.append(outcome)
        else:
            yield outcome
    yield from waiting
