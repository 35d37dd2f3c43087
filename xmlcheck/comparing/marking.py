"""The changes as marks in the new revision: a report made of changes, for the annotation that every report gets."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from xmlcheck.annotation import annotate
from xmlcheck.checking.anchors import Anchors
from xmlcheck.checking.snapshot import source_info
from xmlcheck.comparing.change import NOTATION, Change
from xmlcheck.comparing.revision import Revision
from xmlcheck.finding import Certainty, Finding, Grade, Place, Report
from xmlcheck.model import Part
from xmlcheck.version import VERSION


def mark_changes(data: bytes, new: Revision, changes: Sequence[Change]) -> bytes:
    """The bytes of the new revision with a mark at every change that has a place in it. `annotation.unmark` takes them out."""
    return annotate(data, changes_report(new, changes), "all")


def changes_report(new: Revision, changes: Sequence[Change]) -> Report:
    """The changes as findings about the new revision. What has no place in it (names, lost parts) has no anchor."""
    parts = {part.id: part for part in new.score.parts}
    anchors: dict[str, Anchors] = {}
    findings = []
    for change in changes:
        part = parts.get(change.part or (change.parts[0] if change.parts else "")) or next(iter(parts.values()), None)
        place = Place()
        if part is not None and (change.part is None or change.part in parts):
            place = _place(change, part, anchors.setdefault(part.id, Anchors(part)), new.score.resolution)
        findings.append(_finding(change, part.id if part is not None else None, place))
    return Report(
        tool=("xmlcheck", VERSION),
        plugins=(),
        source=source_info(new.source, new.score.version),
        parts=(),
        findings=tuple(findings),
        words_size=new.score.words_size,
    )


def _place(change: Change, part: Part, anchors: Anchors, resolution: int) -> Place:
    """The first note of the change, or the first from its bar on."""
    index = change.new.bar_index if change.new is not None else change.values.get("before_index")
    if index is None or not part.measures:
        return Place()
    bar = part.measures[min(index, len(part.measures) - 1)]
    spot = next((item.new for item in change.items if item.new is not None), None)
    tick, staff, anchor = bar.onset, 0, -1
    if spot is not None:
        staff = spot.staff
        tick = bar.onset + round(Fraction(spot.at) * resolution)
        here = [note for note in part.notes if note.measure == spot.bar_index and note.onset == tick and note.staff == staff]
        anchor = next((note.anchor for note in here if note.written is not None and note.written.name == spot.written), -1)
    note = anchors.of(anchor, tick, staff)
    if note is None:
        return Place()
    voice = note.voice if part.voiced_directions else None
    measure = part.measures[note.measure]
    return Place(
        measure=measure.number,
        measure_index=note.measure,
        bar=change.new.bar if change.new is not None else measure.text,
        staff=note.staff if part.staves > 1 else None,
        voice=voice,
        anchor=note.anchor,
    )


def _finding(change: Change, part: str | None, place: Place) -> Finding:
    return Finding(
        id=f"change-{change.number}",
        number=change.number,
        rule=f"change.{change.kind.replace(' ', '-')}",
        grade=Grade.TIDY if change.layer == NOTATION else Grade.QUERY,
        certainty=Certainty.DOCUMENTED,
        part=part,
        chair=None,
        label=" ".join(change.label.split()[:5]),
        message=change.text,
        why="",
        remedy="",
        place=place,
        values={},
        to="copyist",
        annotated=place.anchor is not None,
    )
