"""Tuplet notes whose length is rounded to the steps of the file."""

from __future__ import annotations

from fractions import Fraction

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_export.values import ROUNDED, agrees, real, told, worth


@rule
def time_tuplet_rounding(chair: Chair) -> Hits:
    """One hit for each tuplet note that is off its value by less than `ROUNDED`."""
    resolution = chair.facts.score.resolution
    for note in chair.notes:
        if note.ratio is None or agrees(note, resolution) or not real(note):
            continue
        off = abs(Fraction(note.duration, resolution) - (worth(note) or Fraction(0)))
        if 0 < off < ROUNDED:
            yield Hit(at=(note,), values={"off": told(off)})
