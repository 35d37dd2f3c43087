"""The same music in other note values: all of it in double or half values, which is one change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from xmlcheck.comparing import costs
from xmlcheck.comparing.change import Change
from xmlcheck.comparing.tell import layer
from xmlcheck.model import Part, Score

FACTORS = (Fraction(2), Fraction(1, 2), Fraction(4), Fraction(1, 4))
MOST, LEAST = 0.5, 0.8
"""Shares of notes that are equal: below the first as they stand, and from the second on in other values (ours)."""


def factor(old: Score, new: Score, pairs: Iterable[tuple[int, int]]) -> Fraction:
    """By what all note values were multiplied; 1 where they were not."""
    both = [(old.parts[one], new.parts[other]) for one, other in pairs]
    size = max(sum(len(one.notes) for one, _ in both), sum(len(other.notes) for _, other in both))
    if not size or _equal(both, old, new, Fraction(1)) >= MOST * size:
        return Fraction(1)
    shares = {one: _equal(both, old, new, one) for one in FACTORS}
    best = max(shares, key=lambda one: shares[one])
    return best if shares[best] >= LEAST * size else Fraction(1)


def _equal(both: Iterable[tuple[Part, Part]], old: Score, new: Score, scale: Fraction) -> int:
    """Notes of one pitch and length, wherever they stand."""
    found = 0
    for one, other in both:
        before = Counter((note.written, Fraction(note.duration, old.resolution) * scale) for note in one.notes)
        after = Counter((note.written, Fraction(note.duration, new.resolution)) for note in other.notes)
        found += (before & after).total()
    return found


def change(scale: Fraction) -> Change:
    """Tells it."""
    times = {Fraction(2): "double", Fraction(1, 2): "half", Fraction(4): "four times the", Fraction(1, 4): "quarter"}[scale]
    kind = "values-rewritten"
    text = f"the same music, written in {times} values"
    return Change(
        0, kind, layer(kind), None, None, None, text, f"{times} values", values={"factor": str(scale)}, cost=costs.PASSAGE
    )
