"""Durations as ticks: the file's `<divisions>` on one side, the score's resolution on the other, no rounding unseen."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from xmlcheck.ticks import LARGEST, decimal

LONGEST = 1_000_000
"""Quarter notes: a duration over this is a slip of the writer, not music."""


@dataclass(slots=True)
class Grid:
    """resolution: ticks a quarter note. missing: factor by which the grid is too coarse for the durations met so far."""

    resolution: int
    missing: int = 1
    _tables: dict[Decimal, Ticks] = field(default_factory=dict, repr=False, compare=False)

    def ticks(self, divisions: Decimal) -> Ticks:
        """Durations under one value of `<divisions>`; the same table for all parts."""
        if divisions not in self._tables:
            self._tables[divisions] = Ticks(divisions, self)
        return self._tables[divisions]

    def finer(self) -> Grid | None:
        """The grid that holds everything met so far, or the finest under the cap; None where this one will do."""
        if self.missing == 1 or self.resolution * 2 > LARGEST:
            return None
        exact = self.resolution * self.missing
        return Grid(exact if exact <= LARGEST else self.resolution * (LARGEST // self.resolution))


class Ticks(dict[str | None, int]):
    """Duration texts to ticks under one value of `<divisions>`; a lookup of a bad text raises ValueError.

    Bad are negative numbers, texts that are no number, and durations over `LONGEST`.
    """

    __slots__ = ("_factor", "_grid")

    def __init__(self, divisions: Decimal, grid: Grid) -> None:
        super().__init__()
        self._factor = grid.resolution / Fraction(divisions)
        self._grid = grid

    def __missing__(self, text: str | None) -> int:
        value = decimal(text)
        if value is None or value < 0:
            raise ValueError(text)
        exact = Fraction(value) * self._factor
        if exact > LONGEST * self._grid.resolution:
            raise ValueError(text)
        if exact.denominator != 1 and self._grid.missing <= LARGEST:
            self._grid.missing = math.lcm(self._grid.missing, exact.denominator)
        ticks = round(exact)
        self[text] = ticks
        return ticks

    def signed(self, text: str | None) -> int:
        """A duration that may be negative, such as an `<offset>`. Raises ValueError."""
        text = (text or "").strip()
        return -self[text[1:]] if text.startswith("-") else self[text]


def whole(text: str | None) -> int | None:
    """A whole number of the file ("4", " 4 ", "+4", "4.0"), or None."""
    value = decimal(text)
    if value is None or value != value.to_integral_value():
        return None
    return int(value)
