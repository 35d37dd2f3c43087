"""Alterations that cannot be semitones under the sign they have."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_export.printed import OTHER_UNIT

TRIPLE = ("triple-sharp", "triple-flat")


@rule
def microtone_units(score: ScoreFacts, at_least: int = OTHER_UNIT) -> Hits:
    """One hit for each note or key signature altered by `at_least` semitones or more, triple signs aside."""
    for part in score.score.parts:
        for key in part.keys:
            far = next((item for item in key.alters if abs(item[1]) >= at_least and item[2] not in TRIPLE), None)
            if far is not None:
                yield Hit(at=(key,), values=_values(far[1], far[2]), part=part.id)
        for note in part.notes:
            if note.written is not None and abs(note.written.alter) >= at_least and note.sign not in TRIPLE:
                yield Hit(at=(note,), values=_values(note.written.alter, note.sign), part=part.id)


def _values(amount: object, sign: str) -> dict[str, object]:
    size = float(str(amount))
    unit = "commas (53 to the octave)" if abs(size) < 12 else "cents"
    return {"amount": int(size) if size == int(size) else size, "sign": sign.replace("-", " "), "unit": unit}
