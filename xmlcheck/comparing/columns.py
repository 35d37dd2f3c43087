"""Bars over all parts at once, and what it costs to turn one into another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from xmlcheck.comparing import costs
from xmlcheck.comparing.lexicon import UNPITCHED, Head, Lexicon
from xmlcheck.comparing.view import BarView

Column = tuple[BarView | None, ...]
"""One bar in all paired parts, in one order for both files; None where a part has no such bar."""
TRANSPOSED = 0.1
"""Cost of a note that moves with all others of its bar, while bars are aligned."""


class Distance:
    """Estimated cost of turning one bar into another; each pair of contents is looked at once."""

    def __init__(self, lexicon: Lexicon, basis: Sequence[int]) -> None:
        self._lexicon, self._basis = lexicon, basis
        self._heads: dict[tuple[int, tuple[int, ...], tuple[int, ...]], float] = {}

    def shape(self, column: Column) -> object:
        """What stays of a bar when every part is transposed: times, and intervals from the lowest note."""
        return tuple(self._shape(bar, self._basis[place]) for place, bar in enumerate(column) if bar is not None)

    def _shape(self, bar: BarView, basis: int) -> object:
        heads = [self._lexicon.heads[code] for code in bar.heads]
        cents = [self._lexicon.cents[head.pitch(basis)] for head in heads]
        lowest = min(cents, default=0)
        notes = sorted((h.at, h.length, h.staff, h.order, c - lowest) for h, c in zip(heads, cents, strict=True))
        return bar.length, tuple(notes)

    def of(self, old: Column, new: Column) -> float:
        """The cost over all parts, lengths left aside; nothing for equal bars."""
        return 0.0 if content(old) == content(new) else self.columns(old, new)

    def columns(self, old: Column, new: Column) -> float:
        """The cost over all parts. A bar of another length is never quite the same."""
        total, lengths = 0.0, 0.0
        for place, (one, other) in enumerate(zip(old, new, strict=True)):
            if one is None or other is None:
                total += sum(costs.NOTE for bar in (one, other) if bar is not None for _ in bar.heads)
                continue
            if one.length != other.length:
                lengths = costs.BAR / 2
            if one.heads != other.heads:
                total += self._cost(one.heads, other.heads, self._basis[place])
            if one.signs != other.signs:
                total += costs.MARK * _apart(one.signs, other.signs)
        return total + lengths

    def _cost(self, old: tuple[int, ...], new: tuple[int, ...], basis: int) -> float:
        if not (old and new):
            return costs.NOTE * (len(old) + len(new))
        key = (basis, old, new)
        known = self._heads.get(key)
        if known is None:
            known = self._heads[key] = self._estimate(old, new, basis)
        return known

    def _estimate(self, old: tuple[int, ...], new: tuple[int, ...], basis: int) -> float:
        core = self._lexicon.core
        before, after = Counter([core(code, basis) for code in old]), Counter([core(code, basis) for code in new])
        same = before & after
        kept = same.total()
        if kept == len(old) == len(new):
            return min(costs.MARK * _apart(old, new), costs.NOTE * kept / 2)
        heads = self._lexicon.heads
        one, other = [heads[code] for code in old], [heads[code] for code in new]
        interval, moved = best_interval(one, other, self._lexicon, basis)
        still = self._left(one, other, basis, 0)
        return (
            min(still, costs.PASSAGE / 4 + TRANSPOSED * moved + self._left(one, other, basis, interval)) if interval else still
        )

    def _left(self, old: list[Head], new: list[Head], basis: int, interval: int) -> float:
        """Cost of what is not the same note, all of the old ones moved by an interval first."""
        cents = self._lexicon.cents
        before = Counter((h.at, h.length, cents[h.pitch(basis)] + interval, h.staff, h.order) for h in old)
        after = Counter((h.at, h.length, cents[h.pitch(basis)], h.staff, h.order) for h in new)
        rest_old, rest_new = [*(before - after).elements()], [*(after - before).elements()]
        size = max(len(rest_old), len(rest_new))
        revalued = (Counter(key[2] for key in rest_old) & Counter(key[2] for key in rest_new)).total()
        slots = Counter(key[:2] + key[3:] for key in rest_old) & Counter(key[:2] + key[3:] for key in rest_new)
        repitched = max(0, slots.total() - revalued)
        return (
            (costs.ONSET + costs.LENGTH / 2) * revalued
            + costs.PITCH * repitched
            + 1.5 * costs.NOTE * (size - revalued - repitched)
        )


def best_interval(old: Sequence[Head], new: Sequence[Head], lexicon: Lexicon, basis: int) -> tuple[int, int]:
    """The interval in cents, other than none, by which most notes moved in their places, and how many; (0, 0) for none."""
    slots: dict[tuple[int, ...], list[int]] = {}
    for head in old:
        slots.setdefault((head.at, head.length, head.staff, head.order), []).append(lexicon.cents[head.pitch(basis)])
    votes: Counter[int] = Counter()
    for head in new:
        cents = lexicon.cents[head.pitch(basis)]
        if cents > UNPITCHED // 2:
            for before in slots.get((head.at, head.length, head.staff, head.order), ()):
                if before != cents and before > UNPITCHED // 2:
                    votes[cents - before] += 1
    if not votes:
        return 0, 0
    most = max(votes.values())
    return min((interval for interval, count in votes.items() if count == most), key=lambda one: (abs(one), one)), most


def _apart(old: Sequence[int], new: Sequence[int]) -> int:
    shared = (Counter(old) & Counter(new)).total()
    return max(len(old), len(new)) - shared


def weight(column: Column) -> float:
    """The cost of putting in or taking out a bar."""
    return costs.BAR + costs.NOTE * sum(len(bar.heads) for bar in column if bar is not None)


def key(column: Column) -> object:
    """What two bars have in common when nothing was changed, their length included."""
    return tuple((bar.key, bar.length) if bar is not None else None for bar in column)


def content(column: Column) -> object:
    """The same without the length: what is written in the bar."""
    return tuple(bar.key if bar is not None else None for bar in column)


def sounding(column: Column) -> bool:
    """Whether any part has notes in this bar."""
    return any(bar.heads for bar in column if bar is not None)


def length(column: Column) -> int:
    return max((bar.length for bar in column if bar is not None), default=0)
