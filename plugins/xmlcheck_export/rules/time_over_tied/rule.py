"""Notes written in more tied pieces than their length needs."""

from __future__ import annotations

from fractions import Fraction

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_export.values import told


@rule
def time_over_tied(chair: Chair, most: int = 3, shorter_than: int = 4) -> Hits:
    """One hit for each note shorter than `shorter_than` quarters that has more than `most` pieces in one place after another,
    and at least two more than its bars and beats ask for."""
    resolution = chair.facts.score.resolution
    for tone in chair.tones:
        if len(tone.notes) <= most:
            continue
        pieces = len({note.onset for note in tone.notes})
        length = Fraction(tone.duration, resolution)
        if pieces <= most or length >= shorter_than or any(note.ratio for note in tone.notes):
            continue
        fewer = _needed(tone, resolution)
        if pieces >= fewer + 2:
            values = {"quarters": told(length), "heads_tied": pieces, "fewer": fewer}
            yield Hit(at=(tone,), values=values)


def _needed(tone: Tone, resolution: int) -> int:
    """Pieces that barlines and plain note values ask for: in each bar the set bits of its length, dots taking two or three."""
    spans: dict[int, int] = {}
    for note in tone.notes:
        spans[note.measure] = spans.get(note.measure, 0) + note.duration
    return sum(_pieces(Fraction(ticks, resolution)) for ticks in spans.values())


def _pieces(length: Fraction) -> int:
    units = length * 64
    if units.denominator != 1:
        return 99  # on no plain grid: another rule's business
    bits = bin(int(units))[2:].rstrip("0")
    return sum(bool(run) for run in bits.split("0"))
