"""Metronome marks that say another tempo than the playback beside them."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from xmlcheck.plugin import Direction, Grade, Hit, Hits, Part, ScoreFacts, rule

FACTORS = (Decimal("1.5"), Decimal(2), Decimal(3), Decimal(4))
"""What a mistaken beat unit makes of a tempo: dotted, half, dotted half and whole note for a quarter."""


@rule
def tempo_contradicts(score: ScoreFacts, tolerance: float = 1.0) -> Hits:
    """One hit for each metronome mark more than `tolerance` a minute off its own playback. Within 5 % it is tidied only."""
    for part in score.score.parts:
        for direction, printed, high, sounding in _pairs(part):
            if printed - Decimal(tolerance) <= sounding <= high + Decimal(tolerance):
                continue
            ratio = max(printed, sounding) / min(printed, sounding)
            factor = next((item for item in FACTORS if abs(ratio / item - 1) < Decimal("0.01")), None)
            values = {"printed": _number(printed), "sounding": _number(sounding), "factor": str(factor) if factor else None}
            near = ratio < Decimal("1.05")
            yield Hit(at=(direction,), values=values, part=part.id, grade=Grade.TIDY if near else None)


def _pairs(part: Part) -> Iterator[tuple[Direction, Decimal, Decimal, Decimal]]:
    """Each mark with its printed range and the playback's tempo that stands in the same direction or at its place."""
    at = {
        item.sound_at: item.sound.tempo for item in part.directions if item.sound is not None and item.sound.tempo is not None
    }
    for direction in part.directions:
        for mark in direction.named("metronome"):
            printed = mark.get("quarters-per-minute")
            own = direction.sound.tempo if direction.sound is not None else None
            sounding = own if own is not None else at.get(direction.onset)
            if printed and sounding:
                high = mark.get("quarters-per-minute-high") or printed
                yield direction, Decimal(printed), Decimal(high), sounding


def _number(value: Decimal) -> int | float:
    return int(value) if value == int(value) else round(float(value), 2)
