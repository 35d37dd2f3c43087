"""Printed accidentals whose size is fixed, on notes that sound another pitch."""

from __future__ import annotations

from decimal import Decimal

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_export.printed import HALF, MICROTONAL, OTHER_UNIT, PLAIN, editorial


@rule
def accidental_contradicts(score: ScoreFacts) -> Hits:
    """One hit for each note whose sign and alteration are at least a quarter-tone apart; quarter-tone signs have a wider berth."""
    for part in score.score.parts:
        for note in part.notes:
            if not note.sign or note.written is None or editorial(note):
                continue
            size = PLAIN.get(note.sign, MICROTONAL.get(note.sign))
            if size is None or note.hidden or abs(note.written.alter) >= OTHER_UNIT:
                continue
            apart = abs(note.written.alter - Decimal(size))
            if apart >= (HALF if note.sign in PLAIN else Decimal(1)):
                values = {"sign": note.sign.replace("-", " "), "step": note.written.step, "sounds": note.written.name}
                yield Hit(at=(note,), values=values, part=part.id)
