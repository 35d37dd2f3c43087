"""What draws the choices of all that is written or spoilt here.

A number generator draws them from a seed, Hypothesis from its own source, and a coverage-guided fuzzer from its bytes: one
writer, three drives. The first choice of a list and the lowest number are the plain ones, so that Hypothesis shrinks to them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random
from typing import TypeVar

T = TypeVar("T")


class Pen:
    """draw(low, high) gives a whole number, both ends included. ids: numbers the ids given out, so that none comes twice."""

    def __init__(self, draw: Callable[[int, int], int]) -> None:
        self.number = draw
        self.ids = 0

    @classmethod
    def seeded(cls, seed: int | str) -> Pen:
        """The pen that writes the same for the same seed."""
        return cls(Random(seed).randint)

    def pick(self, options: Sequence[T]) -> T:
        """One of the options."""
        return options[self.number(0, len(options) - 1)]

    def maybe(self, percent: int) -> bool:
        """True in so many of a hundred draws."""
        return self.number(0, 99) >= 100 - percent

    def new_id(self, prefix: str = "i") -> str:
        """An id that this pen has not given before."""
        self.ids += 1
        return f"{prefix}{self.ids}"
