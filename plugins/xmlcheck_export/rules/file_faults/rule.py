"""What the reader had to repair, told where it stands."""

from __future__ import annotations

from xmlcheck.plugin import Grade, Hit, Hits, Notice, Part, ScoreFacts, rule
from xmlcheck_export.values import Spot

TOLD = ("backup", "chord", "divisions", "duration", "grace", "id", "note", "offset", "part-list", "pitch", "staff",
        "tempo", "time", "transpose", "tuning")  # fmt: skip
"""Kinds of reader's notices that speak of the file, not of how it was read."""
HARMLESS = ("grace", "offset", "staff", "tempo", "part-list", "id")
"""What changes no note: tidied."""


@rule
def file_faults(score: ScoreFacts) -> Hits:
    """One hit for each kind of fault and part, at the first bar that has it."""
    parts = {part.id: part for part in score.score.parts}
    for notice in score.score.notices:
        schema = notice.kind.startswith("schema-")
        if notice.kind not in TOLD and not schema:
            continue
        part = parts.get(notice.part)
        text = notice.text[:1].upper() + notice.text[1:]
        values = {"kind": notice.kind.removeprefix("schema-"), "told": text.rstrip(".")}
        grade = Grade.TIDY if schema or notice.kind in HARMLESS else None
        where = part or (score.score.parts[0] if score.score.parts else None)
        if where is not None:
            yield Hit(at=_place(notice, where), values=values, part=where.id, group=f"{notice.kind} {notice.text}", grade=grade)


def _place(notice: Notice, part: Part) -> tuple[Spot, ...]:
    bar = next((bar for bar in part.measures if notice.measure and notice.measure in (bar.number, str(bar.index + 1))), None)
    return (Spot(bar.onset, bar.index),) if bar is not None else ()
