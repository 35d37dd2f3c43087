"""The answer about a handoff as text to read: cue by cue what disagrees, then the files with their own findings, then what was
inferred. Eats a `Handoff` and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.finding import Finding, Grade
from xmlcheck.handing.values import CueEntry, Disagreement, FileEntry, Handoff
from xmlcheck.output.page import Line, Sheet, block, printable
from xmlcheck.output.terminal import place_text

_BODY = 12


def table(answer: Handoff, sheet: Sheet) -> Iterator[Line]:
    """The lines of the whole answer."""
    music = [one for one in answer.files if one.counts is not None]
    yield ((printable(answer.name), "strong"),)
    yield from block(f"{_count(len(answer.cues), 'cue')}, {_count(len({one.name for one in music}), 'file')} of music", sheet)
    yield ((sheet.rule, "dim"),)
    for cue in answer.cues:
        yield from _cue(cue, [item for item in answer.disagreements if item.cue == cue.name], sheet)
    names = {cue.name for cue in answer.cues}
    rest = [item for item in answer.disagreements if item.cue not in names]
    if rest:
        yield ()
        yield (("The folder", "strong"),)
        for item in rest:
            yield from _item(item, sheet)
    yield from _findings(answer.files, sheet)
    supplied = [f"{printable(one.name)}: {one.note or one.role}" for one in answer.files if one.counts is None]
    for title, texts in (("Other files", supplied), ("Inferred", [printable(text) for text in answer.inferred])):
        if texts:
            yield ()
            yield ((title, "strong"),)
            for text in texts:
                yield from block(text, sheet, 4, first="  ")
    yield ()
    yield _summary(answer, sheet)


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _cue(cue: CueEntry, found: list[Disagreement], sheet: Sheet) -> Iterator[Line]:
    yield ()
    length = f", {cue.seconds:.1f} s" if cue.seconds is not None else ""
    title = f" {printable(cue.title)}" if cue.title and cue.title != cue.name else ""
    revision = f", revision {printable(cue.revision)}" if cue.revision else ""
    yield (f"Cue {printable(cue.name)}{title}", "strong"), (f"{sheet.dot}{_count(cue.bars, 'bar')}{length}{revision}", "dim")
    if not found:
        yield from block("score and parts agree", sheet, 2, first="  ")
    for item in found:
        yield from _item(item, sheet)


def _item(item: Disagreement, sheet: Sheet) -> Iterator[Line]:
    grade = f"{sheet.shape(item.grade)} {item.grade.value}"
    where = "" if item.bar is None else f"bar {item.bar}" if item.to_bar is None else f"bars {item.bar}-{item.to_bar}"
    head = sheet.dot.join(printable(text) for text in (item.part, item.file, where, f"({item.kind})") if text)
    for number, line in enumerate(block(head, sheet, _BODY, style="strong")):
        if number == 0:
            yield ("  ", ""), (grade, item.grade.value), (" " * (_BODY - 2 - len(grade)), ""), *line[1:]
        else:
            yield line
    text = printable(item.text)
    yield from block(text[:1].upper() + text[1:] + f". For the {item.to}.", sheet, _BODY)


def _findings(files: tuple[FileEntry, ...], sheet: Sheet) -> Iterator[Line]:
    """Open findings of each file graded query or halt; one that score and part share is told with the part."""
    parts = {id(one.report): one for one in files if one.role != "score" and one.report is not None}
    told = {finding.id for one in parts.values() if one.report is not None for finding in one.report.findings}
    for one in [*parts.values(), *(one for one in files if one.role == "score")]:
        if one.report is None:
            continue
        fresh = [
            item
            for item in one.report.findings
            if item.accepted is None and item.grade is not Grade.TIDY and (one.role != "score" or item.id not in told)
        ]
        if fresh:
            yield ()
            yield ((printable(one.name), "strong"),)
            for item in fresh:
                yield from _finding(item, sheet)


def _finding(item: Finding, sheet: Sheet) -> Iterator[Line]:
    grade = f"{sheet.shape(item.grade)} {item.grade.value}"
    where = place_text(item.place)
    text = f"{where + sheet.dot if where else ''}{printable(item.label)} ({item.rule})"
    for number, line in enumerate(block(text, sheet, _BODY)):
        if number == 0:
            yield ("  ", ""), (grade, item.grade.value), (" " * (_BODY - 2 - len(grade)), ""), *line[1:]
        else:
            yield line


def _summary(answer: Handoff, sheet: Sheet) -> Line:
    counts = answer.counts()
    own = {id(one.report): one.counts for one in answer.files if one.counts is not None}
    spans: list[tuple[str, str]] = [("Agreement  ", "")]
    for grade in (Grade.HALT, Grade.QUERY, Grade.TIDY):
        count = counts[grade.value]
        spans += [(f"{sheet.shape(grade)} {count} {grade.value}", grade.value if count else "dim"), ("   ", "")]
    told = ", ".join(f"{sum(one[grade.value] for one in own.values())} {grade.value}" for grade in reversed(Grade))
    spans.append((f"in the files themselves: {told}", "dim"))
    return tuple(spans)
