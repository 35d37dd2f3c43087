"""A report as a table to read: the file, its parts with their findings in score order, then what was noticed or not checked.

Eats a report and nothing else. Readable at 80 columns, in black, and in a pipe.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from xmlcheck.finding import Finding, Grade, PartInfo, Place, Plan, Report
from xmlcheck.output.page import Line, Sheet, block, cells, cut, printable, section

_BODY = 14
_SOURCES = 2
_SOURCE_WIDTH = 80
_VALUE = re.compile(r"(?P<value>.*?) \((?P<certainty>documented|player|memory|conflicting)(?:: (?P<source>.*))?\)", re.DOTALL)


def table(report: Report, sheet: Sheet, name: str = "") -> Iterator[Line]:
    """The lines of one file. name: how to call it, where the report's own name is not enough (a path in a folder)."""
    yield from _head(report, sheet, name or report.source.name)
    by_part: dict[str | None, list[Finding]] = {}
    for finding in sorted(report.findings, key=_score_order):
        if finding.accepted is None:
            by_part.setdefault(finding.part, []).append(finding)
    parts = {part.id: part for part in report.parts}
    whole = [key for key in by_part if key not in parts]
    for key in (*whole, *(key for key in parts if key in by_part)):
        yield ()
        yield _part_line(parts[key], sheet) if key in parts else (("The whole score", "strong"),)
        for finding in by_part[key]:
            yield ()
            yield from _finding(finding, sheet)
    yield from _plans(report.plans, parts, sheet)
    yield from _accepted(report.findings, parts, sheet)
    yield from section("Notices", (printable(notice) for notice in report.notices), sheet)
    yield from section("Not checked", _unchecked(report.parts), sheet)
    yield ()
    yield _summary(report, sheet)


def place_text(place: Place) -> str:
    """`bar 12, beat 2+1/2` or `bars 12-15`; empty for a whole part."""
    if place.bar is None:
        return ""
    if place.to_bar is not None:
        return f"bars {place.bar}-{place.to_bar}"
    return f"bar {place.bar}" + (f", beat {place.beat}" if place.beat is not None else "")


def counted(report: Report) -> str:
    """`2 halt, 1 query, 0 tidy`."""
    return ", ".join(f"{count} {grade}" for grade, count in report.counts().items())


def _score_order(finding: Finding) -> tuple[int, int]:
    index = finding.place.measure_index
    return -1 if index is None else index, finding.number


def _head(report: Report, sheet: Sheet, name: str) -> Iterator[Line]:
    yield ((printable(name), "strong"),)
    known = [part for part in report.parts if part.instrument is not None]
    unknown = [part for part in report.parts if part.instrument is None]
    count = f"{len(report.parts)} part{'' if len(report.parts) == 1 else 's'}"
    text = f"{count}, {'all' if known and not unknown else len(known)} recognised"
    if known:
        text += ": " + ", ".join(_called(part) for part in known)
    if unknown:
        text += "; not recognised: " + ", ".join(_called(part) for part in unknown)
    yield from block(text, sheet)
    yield ((sheet.rule, "dim"),)


def _called(part: PartInfo) -> str:
    return printable(part.name) or printable(part.id)


def _part_line(part: PartInfo, sheet: Sheet) -> Line:
    name = _called(part)
    if part.instrument is None:
        told = "instrument not recognised"
    else:
        told = printable(part.profile.get("name") or part.instrument)
        evidence = printable(part.evidence or "")
        if part.match_certainty == "guess" and "guess" not in evidence:
            evidence = f"a guess: {evidence}"
        told += f" ({evidence})" if evidence else ""
    room = sheet.width - cells(name) - len(sheet.dot)
    return (name, "strong"), (f"{sheet.dot}{cut(told, room)}" if room > 12 else "", "dim")


def _finding(finding: Finding, sheet: Sheet) -> Iterator[Line]:
    grade = f"{sheet.shape(finding.grade)} {finding.grade.value}"
    margin = f"  {grade:<8}{finding.number:>3}".ljust(_BODY)
    where = place_text(finding.place)
    label = f"{printable(finding.label)} ({finding.rule})"
    head = f"{where}{sheet.dot}{label}" if where else label
    for number, (line,) in enumerate(_heads(head, sheet)):
        if number:
            yield (" " * _BODY, ""), (line, "strong")
        else:
            yield ("  ", ""), (grade, finding.grade.value), (margin[2 + len(grade) :], ""), (line, "strong")
    yield from block(_ended(finding.message) + _more(finding), sheet, _BODY)
    yield from block(printable(finding.remedy), sheet, _BODY, lead="Remedy:")
    for text in finding.alternatives:
        yield from block(printable(text), sheet, _BODY, lead="Or:")
    if finding.caution:
        yield from block(printable(finding.caution), sheet, _BODY, style="strong", lead="Caution:")
    yield from block(_sources(finding), sheet, _BODY, style="dim", lead="Source:")


def _heads(head: str, sheet: Sheet) -> Iterator[tuple[str]]:
    for _, (line, _) in block(head, sheet, _BODY):
        yield (line,)


def _ended(text: str) -> str:
    text = printable(text)
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _more(finding: Finding) -> str:
    text = f" {finding.count} places." if finding.count > 1 else ""
    if finding.place.rehearsal:
        text += f" After rehearsal mark {printable(finding.place.rehearsal)}."
    if finding.to != "composer":
        text += f" For the {printable(finding.to)}."
    if finding.also:
        text += f" Explains also: {', '.join(finding.also)}."
    return text


def _sources(finding: Finding) -> str:
    """Who says so: the profile values with their sources, else those of the rule, else the file alone."""
    items = [_value(printable(item)) for item in finding.rests_on]
    items = items or [f"{cut(printable(text), _SOURCE_WIDTH)} ({finding.certainty.value})" for text in finding.cite]
    if not items:
        return "the file itself."
    more = f"; and {len(items) - _SOURCES} more" if len(items) > _SOURCES else ""
    return f"{'; '.join(items[:_SOURCES])}{more}."


def _value(text: str) -> str:
    """`compass.lowest = C2 (documented: A Long Title)` told short: `compass.lowest = C2: A Long … (documented)`."""
    match = _VALUE.fullmatch(text)
    if match is None:
        return cut(text, _SOURCE_WIDTH)
    source = f": {cut(match['source'], _SOURCE_WIDTH)}" if match["source"] else ""
    return f"{match['value']}{source} ({match['certainty']})"


def _plans(plans: Iterable[Plan], parts: dict[str, PartInfo], sheet: Sheet) -> Iterator[Line]:
    for plan in plans:
        part = _called(parts[plan.part]) if plan.part in parts else printable(plan.part)
        lines = (
            f"{place_text(line.place)}: {printable(line.text)}" if place_text(line.place) else printable(line.text)
            for line in plan.lines
        )
        yield from section(f"{part}: {printable(plan.kind)} plan", lines, sheet)


def _accepted(findings: Iterable[Finding], parts: dict[str, PartInfo], sheet: Sheet) -> Iterator[Line]:
    lines = []
    for finding in findings:
        if finding.accepted is None:
            continue
        part = _called(parts[finding.part]) + ", " if finding.part in parts else ""
        where = f"{part}{place_text(finding.place)}".removesuffix(", ") or "whole score"
        told = f"accepted by {finding.accepted.by}: {finding.accepted.why}"
        lines.append(f"{finding.grade.value} {finding.number}, {where}, {printable(finding.label)}: {printable(told)}")
    yield from section("Accepted", lines, sheet)


def _unchecked(parts: Iterable[PartInfo]) -> Iterator[str]:
    for part in parts:
        if part.instrument is None:
            yield f"{_called(part)}: its instrument is not recognised; only what needs no instrument was checked."
            continue
        rules = {line.partition(" (")[0] for line in part.unchecked if " (no " in line}
        lacks = sorted({line.partition(" (no ")[2].rstrip(")") for line in part.unchecked} - {""})
        if rules:
            count = f"{len(rules)} rule{'s' if len(rules) > 1 else ''}"
            yield f"{_called(part)}: {count}, for want of {', '.join(lacks)} (xmlcheck about {part.instrument} lists them)."


def _summary(report: Report, sheet: Sheet) -> Line:
    counts = report.counts()
    accepted = sum(finding.accepted is not None for finding in report.findings)
    spans: list[tuple[str, str]] = []
    for grade in (Grade.HALT, Grade.QUERY, Grade.TIDY):
        count = counts[grade.value]
        spans += [(f"{sheet.shape(grade)} {count} {grade.value}", grade.value if count else "dim"), ("   ", "")]
    spans.append((f"{accepted} accepted" if accepted else "" if any(counts.values()) else "nothing found", "dim"))
    return tuple(spans)
