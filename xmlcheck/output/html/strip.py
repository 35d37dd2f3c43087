"""Bars side by side with the grades in place: the whole cue on one page, and each part's own strip."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from xmlcheck.finding import Finding, Grade, Plan, Report
from xmlcheck.output.html.plans import SIGNS, TITLES
from xmlcheck.output.html.words import SHAPES, signs
from xmlcheck.output.page import printable

SYSTEM = 24
"""Bars in one row of the overview: what fits on paper, as a system of a score."""
_ALL = 96
"""Bars up to which a part's strip shows every one; in longer cues bars of nothing are drawn together."""
_GAP = 6
MOST = 20_000
"""Bars of a part that are shown: no score has more, but a file may say so."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One bar, or several of nothing. findings: (number, grade) in it, the weightiest first. signs: plan lines, (sign, words)."""

    number: str
    findings: tuple[tuple[int, Grade], ...] = ()
    signs: tuple[tuple[str, str], ...] = ()
    rehearsal: str = ""
    bars: int = 1

    @property
    def grade(self) -> str:
        return self.findings[0][1].value if self.findings else ""

    @property
    def shape(self) -> str:
        return SHAPES[self.findings[0][1]] if self.findings else ""

    @property
    def target(self) -> int:
        return self.findings[0][0]

    @property
    def told(self) -> str:
        """`bar 14: halt 3, query 5`."""
        return f"bar {self.number}: " + ", ".join(f"{grade.value} {number}" for number, grade in self.findings)


@dataclass(frozen=True, slots=True)
class Row:
    """One part's bars. key: the part's id on the page."""

    key: str
    name: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class System:
    """Bars of all parts that have something in them. heads: the cells of the bar numbers."""

    heads: tuple[Cell, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Strips:
    """bars: names of the bars by part id, index by index; empty where not known."""

    bars: Mapping[str, Sequence[str]]
    rehearsals: Mapping[int, str]


def numbering(report: Report) -> Strips:
    """The names of bars as far as findings and plans tell them, for a report without its score."""
    bars: dict[str, list[str]] = {part.id: [""] * min(part.measures, MOST) for part in report.parts}
    marks: dict[int, str] = {}
    places = [(finding.part, finding.place) for finding in report.findings]
    places += [(plan.part, line.place) for plan in report.plans for line in plan.lines]
    for part, place in places:
        row = bars.get(part or "", [])
        for index, text in ((place.measure_index, place.bar), (place.to_measure_index, place.to_bar)):
            if index is not None and text and index < len(row):
                row[index] = text
    return Strips(bars, marks)


def cells(
    part: str,
    count: int,
    strips: Strips,
    findings: Iterable[tuple[Finding, tuple[int, ...]]],
    plans: Iterable[Plan] = (),
) -> tuple[Cell, ...]:
    """All bars of a part. findings: each with the bar indices in which something of it stands."""
    names = strips.bars.get(part, ())
    found: dict[int, list[tuple[int, Grade]]] = {}
    for finding, bars in findings:
        for index in bars:
            found.setdefault(index, []).append((finding.number, finding.grade))
    marks: dict[int, dict[str, str]] = {}
    for plan in plans:
        for line in plan.lines:
            if line.place.measure_index is not None and plan.kind in SIGNS:
                told = f"{TITLES[plan.kind]}: {signs(line.text)}"
                marks.setdefault(line.place.measure_index, {}).setdefault(SIGNS[plan.kind], told)
    result = []
    for index in range(min(max(count, len(names)), MOST)):
        weighed = sorted(found.get(index, ()), key=lambda item: (-item[1].rank, item[0]))
        name = printable(names[index]) if index < len(names) else ""
        signed = tuple(marks.get(index, {}).items())
        result.append(Cell(name, tuple(weighed), signed, printable(strips.rehearsals.get(index, ""))))
    return tuple(result)


def gathered(cells: tuple[Cell, ...]) -> tuple[Cell, ...]:
    """The cells of a long cue with bars of nothing drawn together, as a rest of many bars is."""
    if len(cells) <= _ALL:
        return cells
    result: list[Cell] = []
    waiting: list[Cell] = []
    for cell in (*cells, None):
        if cell is not None and not (cell.findings or cell.signs):
            waiting.append(cell)
            continue
        if len(waiting) >= _GAP:
            ends = f"{waiting[0].number}-{waiting[-1].number}".strip("-")
            result.append(Cell(ends, bars=len(waiting)))
        else:
            result += waiting
        waiting = []
        if cell is not None:
            result.append(cell)
    return tuple(result)


def systems(rows: Sequence[Row]) -> tuple[System, ...]:
    """The overview in systems of `SYSTEM` bars; a part with nothing in a system's bars is left out of it, as in a score."""
    count = max((len(row.cells) for row in rows), default=0)
    result = []
    for start in range(0, count, SYSTEM):
        shown = [Row(row.key, row.name, row.cells[start : start + SYSTEM]) for row in rows]
        longest = max((row.cells for row in shown), key=len)
        told = tuple(row for row in shown if any(cell.findings for cell in row.cells))
        if told:
            result.append(System(longest, tuple(_padded(row, len(longest)) for row in told)))
    return tuple(result)


def _padded(row: Row, count: int) -> Row:
    return Row(row.key, row.name, row.cells + (Cell(""),) * (count - len(row.cells)))
