"""Which bar of the old file is which bar of the new one: by content, over all parts at once, at the least cost.

Bars that are unique and equal in both files are anchors, as far as they stand in the same order; between anchors the cheapest
alignment is found. A bar is never matched by its number.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from xmlcheck.comparing import costs
from xmlcheck.comparing.lexicon import UNPITCHED, Head, Lexicon
from xmlcheck.comparing.sequences import Step, common, path, rising
from xmlcheck.comparing.view import BarView

Column = tuple[BarView | None, ...]
"""One bar in all paired parts, in one order for both files; None where a part has no such bar."""
_WIDEST = 250_000
"""Cells of one table; above, equal bars are aligned first and only what lies between them by cost."""
_MOST = 20_000
"""Cells of one table that are looked at: music that was rewritten over a long stretch has no bars to be found again."""
TRANSPOSED = 0.1
"""Cost of a note that moves with all others of its bar, while bars are aligned."""


class Distance:
    """Estimated cost of turning one bar into another; each pair of contents is looked at once."""

    def __init__(self, lexicon: Lexicon, basis: Sequence[int]) -> None:
        self._lexicon, self._basis = lexicon, basis
        self._heads: dict[tuple[int, tuple[int, ...], tuple[int, ...]], float] = {}

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
        return min(still, costs.PASSAGE / 4 + TRANSPOSED * moved + self._left(one, other, basis, interval)) if interval else still

    def _left(self, old: list[Head], new: list[Head], basis: int, interval: int) -> float:
        """Cost of what is not the same note, all of the old ones moved by an interval first."""
        cents = self._lexicon.cents
        before = Counter((h.at, h.length, cents[h[basis]] + interval, h.staff, h.order) for h in old)
        after = Counter((h.at, h.length, cents[h[basis]], h.staff, h.order) for h in new)
        rest_old, rest_new = before - after, after - before
        slots = Counter({key[:2] + key[3:]: 0 for key in rest_old})
        pitches: Counter[int] = Counter()
        for key, count in rest_old.items():
            slots[key[:2] + key[3:]] += count
            pitches[key[2]] += count
        repitched = (slots & _counted((key[:2] + key[3:], count) for key, count in rest_new.items())).total()
        revalued = (pitches & _counted((key[2], count) for key, count in rest_new.items())).total()
        size = max(rest_old.total(), rest_new.total())
        cheap = min(revalued, size)
        return 0.75 * cheap + costs.NOTE * (min(max(0, repitched - cheap), size - cheap)) + costs.NOTE * 1.5 * max(
            0, size - cheap - max(0, repitched - cheap)
        )


def _counted(items: object) -> Counter[object]:
    counter: Counter[object] = Counter()
    for key, count in items:  # type: ignore[attr-defined]
        counter[key] += count
    return counter


def best_interval(old: Sequence[Head], new: Sequence[Head], lexicon: Lexicon, basis: int) -> tuple[int, int]:
    """The interval in cents, other than none, by which most notes moved in their places, and how many; (0, 0) for none."""
    slots: dict[tuple[int, ...], list[int]] = {}
    for head in old:
        slots.setdefault((head.at, head.length, head.staff, head.order), []).append(lexicon.cents[head[basis]])
    votes: Counter[int] = Counter()
    for head in new:
        cents = lexicon.cents[head[basis]]
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


def align(old: Sequence[Column], new: Sequence[Column], distance: Distance) -> list[Step]:
    """The bars of both files as steps, in order."""
    keys_old, keys_new = [_key(column) for column in old], [_key(column) for column in new]
    steps: list[Step] = []
    at_old = at_new = 0
    for i, j in (*_anchors(keys_old, keys_new), (len(old), len(new))):
        steps += _between(range(at_old, i), range(at_new, j), old, new, keys_old, keys_new, distance)
        if i < len(old):
            steps.append((i, j))
        at_old, at_new = i + 1, j + 1
    return steps


def _key(column: Column) -> object:
    return tuple((bar.key, bar.length) if bar is not None else None for bar in column)


def _anchors(old: Sequence[object], new: Sequence[object]) -> list[tuple[int, int]]:
    """Bars that are sure: the equal ones at both ends, and those that occur once in each file, in the same order."""
    start = 0
    while start < min(len(old), len(new)) and old[start] == new[start]:
        start += 1
    end = 0
    while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    counts_old, counts_new = Counter(old), Counter(new)
    at_new = {key: j for j, key in enumerate(new) if counts_new[key] == 1}
    inner = [(i, at_new[old[i]]) for i in range(start, len(old) - end) if counts_old[old[i]] == 1 and old[i] in at_new]
    inner = [(i, j) for i, j in inner if start <= j < len(new) - end]
    kept = [inner[index] for index in rising([j for _, j in inner])]
    tail = [(len(old) - n, len(new) - n) for n in range(end, 0, -1)]
    return [*((n, n) for n in range(start)), *kept, *tail]


def _between(
    rows: range, cells: range, old: Sequence[Column], new: Sequence[Column], keys_old: Sequence[object],
    keys_new: Sequence[object], distance: Distance,
) -> list[Step]:  # fmt: skip
    if not rows or not cells:
        return [*((i, None) for i in rows), *((None, j) for j in cells)]
    if len(rows) * len(cells) > _WIDEST:
        pairs = common([keys_old[i] for i in rows], [keys_new[j] for j in cells])
        if pairs:
            steps: list[Step] = []
            at = (0, 0)
            for i, j in (*pairs, (len(rows), len(cells))):
                steps += _between(rows[at[0] : i], cells[at[1] : j], old, new, keys_old, keys_new, distance)
                steps += [(rows[i], cells[j])] if i < len(rows) else []
                at = (i + 1, j + 1)
            return steps

    def change(i: int, j: int) -> float:
        one, other = rows[i], cells[j]
        return 0.0 if keys_old[one] == keys_new[other] else distance.columns(old[one], new[other])

    out, into = [weight(old[i]) for i in rows], [weight(new[j]) for j in cells]
    least = min((*out, *into))
    found = path(len(rows), len(cells), change, out.__getitem__, into.__getitem__, least, _MOST)
    return [(None if i is None else rows[i], None if j is None else cells[j]) for i, j in found]
