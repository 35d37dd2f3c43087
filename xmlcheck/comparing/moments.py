"""Times of two files on one grid, rounding taken out.

Files count in different divisions, and what does not fit is rounded to a tick: a septuplet quaver is 69 ticks of 480 in one file
and 1/7 of a crotchet in another. `Moments` gives both the same value. Ticks are those of the common grid throughout comparing.
"""

from __future__ import annotations

import math
from fractions import Fraction

BASE = 2**6 * 3**2 * 5 * 7
"""Ticks a quarter note that hold every note value and tuplet in common use (ours)."""
FINE = 96
"""Ticks a quarter note from which on a single tick is rounding and no note value (ours: half a 64th triplet)."""
_PLAIN = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32)
_TUPLETS = (5, 7, 9, 10, 14, 18, 20, 28, 36, 40, 56, 11, 13)


def grid(old: int, new: int) -> int:
    """Ticks a quarter note that hold every value of both files exactly, and the note values that rounding came from."""
    return math.lcm(old, new, BASE)


def grain(old: int, new: int) -> int:
    """The resolution that rounds: of two fine files the coarser, else the one that is fine; 0 where neither is."""
    coarse, fine = sorted((old, new))
    return coarse if coarse >= FINE else fine if fine >= FINE else 0


def tolerance(old: int, new: int, common: int) -> int:
    """Ticks of the common grid that two moments may differ by and still be one: a tick of the file that rounds.

    In coarse files nothing is rounding, except between two that count differently.
    """
    coarse = min(old, new)
    if FINE // 4 <= coarse < FINE and old != new:
        return common // coarse
    return common // grain(old, new) if grain(old, new) else 0


class Moments(dict[int, int]):
    """Ticks of one file to ticks of the common grid, values that were rounded put back where they came from.

    grain: see there; both files are rounded by it, so that one value is one value in both. scale: by what all times are
    multiplied first (music rewritten in double or half values).
    """

    def __init__(self, resolution: int, grain: int, common: int, scale: Fraction = Fraction(1)) -> None:
        super().__init__()
        self._resolution, self._grain, self._common, self._scale = resolution, grain, common, scale

    def __missing__(self, ticks: int) -> int:
        exact = Fraction(ticks, self._resolution)
        value = self[ticks] = round(self._musical(exact) * self._scale * self._common)
        return value

    def _musical(self, exact: Fraction) -> Fraction:
        if not self._grain or exact.denominator in _PLAIN:
            return exact
        slack = Fraction(1, self._grain)
        for parts in (*_PLAIN, *_TUPLETS):
            near = Fraction(round(exact * parts), parts)
            if near and abs(near - exact) <= slack:  # a single tick is short, but it is not nothing
                return near
        return exact
