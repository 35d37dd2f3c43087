"""Which bar of the old file is which bar of the new one: by content, over all parts at once, at the least cost.

Bars that are unique and equal in both files are anchors, as far as they stand in the same order; those that do not have moved.
Between anchors the cheapest alignment is found. A bar is never matched by its number.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from xmlcheck.comparing import costs
from xmlcheck.comparing.columns import Column, Distance, key, weight
from xmlcheck.comparing.sequences import Step, common, path, rising

_BROAD = 1_000
"""Cells of one table above which bars of one shape are aligned first."""
_WIDEST = 250_000
"""Cells of one table; above, equal bars are aligned first and only what lies between them by cost."""
_MOST = 20_000
"""Cells of one table that are looked at: music that was rewritten over a long stretch has no bars to be found again."""
_LOOSE, _BACK = 40_000, 8
"""Cells up to which an account without anchors is tried too, and how many of the equal bars at both ends it does without."""
_CLOSE = 0.4
"""Estimated cost, as a share of the bar, up to which a bar here and a bar there may be one (ours)."""
_AROUND = 12
"""Bars before and after in which a bar that another one repeats is looked for."""
_MANY = 60
"""Bars without an equal in the other file, above which bars that both moved and changed are not looked for."""


class Aligner:
    """All bars of both files with their keys, and what it costs to put them in or take them out."""

    def __init__(self, old: Sequence[Column], new: Sequence[Column], distance: Distance) -> None:
        self.old, self.new, self.distance = old, new, distance
        self.keys_old, self.keys_new = [key(column) for column in old], [key(column) for column in new]
        self._before, self._after = Counter(self.keys_old), Counter(self.keys_new)
        self._out: list[float] = []
        self._into: list[float] = []
        self._known: dict[tuple[int, int], float] = {}

    def steps(self, moves: bool = False, near: bool = False, loose: bool = False) -> list[Step]:
        """The bars of both files as steps, in order. A bar that moved is taken out in one place and put in at another.

        moves: bars that the other file has as often are cheap to take out, as if they had moved. near: bars that moved and were
        changed besides are looked for before anything is aligned. loose: only the equal bars at both ends are anchors, because a bar
        may be unique for no other reason than that its double was changed.
        """
        before, after = self._before, self._after
        self._out = [_cheap(c, moves and after[k] >= before[k], 0.05) for k, c in zip(self.keys_old, self.old, strict=True)]
        self._into = [_cheap(c, k in before, 0.05 if moves else 0.75) for k, c in zip(self.keys_new, self.new, strict=True)]
        if near:
            self._doubles()
        anchors, elsewhere = self._anchors(self._near() if near else [], loose)
        gone, came = {i for i, _ in elsewhere}, {j for _, j in elsewhere}
        found: list[Step] = []
        at_old = at_new = 0
        for i, j in (*anchors, (len(self.old), len(self.new))):
            rows, cells = range(at_old, i), range(at_new, j)
            inner = self._between([n for n in rows if n not in gone], [n for n in cells if n not in came])
            found += _with(inner, [n for n in rows if n in gone], [n for n in cells if n in came])
            if i < len(self.old):
                found.append((i, j))
            at_old, at_new = i + 1, j + 1
        return self._gathered(found)

    def _anchors(self, near: list[tuple[int, int]], loose: bool) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
        """Bars that are sure: equal ones at both ends, and those that occur once in each file, in the same order; and the rest
        of these, which stand elsewhere in the other file."""
        old, new = self.keys_old, self.keys_new
        start = 0
        while start < min(len(old), len(new)) and old[start] == new[start]:
            start += 1
        end = 0
        while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
            end += 1
        if loose:
            start, end = max(0, start - _BACK), max(0, end - _BACK)
            loose = (len(old) - start - end) * (len(new) - start - end) <= _LOOSE
        at_new = {one: j for j, one in enumerate(new) if self._after[one] == 1 and not loose}
        equal = [(i, at_new[old[i]]) for i in range(start, len(old) - end) if self._before[old[i]] == 1 and old[i] in at_new]
        inner = sorted(
            [pair for pair in (*equal, *near) if start <= pair[0] < len(old) - end and start <= pair[1] < len(new) - end]
        )
        kept = set(rising([j for _, j in inner]))
        changed = set(near)
        tail = [(len(old) - n, len(new) - n) for n in range(end, 0, -1)]
        sure = [
            *((n, n) for n in range(start)),
            *(pair for n, pair in enumerate(inner) if n in kept and pair not in changed),
            *tail,
        ]
        return sure, [pair for n, pair in enumerate(inner) if n not in kept]

    def _near(self) -> list[tuple[int, int]]:
        """Bars that have no equal in the other file, and are nearest to one another."""
        rows = [i for i, one in enumerate(self.keys_old) if one not in self._after]
        cells = [j for j, one in enumerate(self.keys_new) if one not in self._before]
        if not rows or not cells or len(rows) > _MANY or len(cells) > _MANY:
            return []
        costs_of = {(i, j): self.distance.columns(self.old[i], self.new[j]) for i in rows for j in cells}
        best_old = {i: min(cells, key=lambda j: costs_of[i, j]) for i in rows}
        best_new = {j: min(rows, key=lambda i: costs_of[i, j]) for j in cells}
        return [
            (i, j)
            for i, j in best_old.items()
            if best_new[j] == i and costs_of[i, j] <= _CLOSE * (weight(self.old[i]) - costs.BAR)
        ]

    def _doubles(self) -> None:
        """Makes it cheap to put in a bar that is nearly equal to an old one close by: it may repeat it."""
        fresh = [j for j, one in enumerate(self.keys_new) if one not in self._before]
        for j in fresh if len(fresh) <= _MANY else ():
            around = range(max(0, j - _AROUND), min(len(self.old), j + _AROUND))
            least = min((self.distance.columns(self.old[i], self.new[j]) for i in around), default=self._into[j])
            if least <= _CLOSE * (weight(self.new[j]) - costs.BAR):
                self._into[j] = min(self._into[j], least + costs.PASSAGE * 0.75)

    def _between(self, rows: Sequence[int], cells: Sequence[int]) -> list[Step]:
        """The steps of some bars of both files, by cost."""
        if not rows or not cells:
            return [*((i, None) for i in rows), *((None, j) for j in cells)]
        if len(rows) * len(cells) > _BROAD:
            pairs = self._shaped(rows, cells)
            if pairs:
                return self._parted(rows, cells, pairs)
        if len(rows) * len(cells) > _WIDEST:
            pairs = common([self.keys_old[i] for i in rows], [self.keys_new[j] for j in cells])
            if pairs:
                return self._parted(rows, cells, pairs)
        out, into = [self._out[i] for i in rows], [self._into[j] for j in cells]
        found = path(
            len(rows),
            len(cells),
            lambda i, j: self._change(rows[i], cells[j]),
            out.__getitem__,
            into.__getitem__,
            min((*out, *into)),
            _MOST,
        )
        return [(None if i is None else rows[i], None if j is None else cells[j]) for i, j in found]

    def _shaped(self, rows: Sequence[int], cells: Sequence[int]) -> list[tuple[int, int]]:
        """Bars of one shape, whatever their pitch, that occur once on each side, in the same order: a transposed passage."""
        before, after = ([self.distance.shape(column) for column in side] for side in (
            [self.old[i] for i in rows], [self.new[j] for j in cells],
        ))  # fmt: skip
        counts_old, counts_new = Counter(before), Counter(after)
        at_new = {one: j for j, one in enumerate(after) if counts_new[one] == 1}
        inner = [(i, at_new[one]) for i, one in enumerate(before) if counts_old[one] == 1 and one in at_new]
        return [inner[n] for n in rising([j for _, j in inner])]

    def _change(self, i: int, j: int) -> float:
        known = self._known.get((i, j))
        if known is None:
            same = self.keys_old[i] == self.keys_new[j]
            known = self._known[i, j] = 0.0 if same else self.distance.columns(self.old[i], self.new[j])
        return known

    def _parted(self, rows: Sequence[int], cells: Sequence[int], pairs: Sequence[tuple[int, int]]) -> list[Step]:
        steps: list[Step] = []
        at = (0, 0)
        for i, j in (*pairs, (len(rows), len(cells))):
            steps += self._between(rows[at[0] : i], cells[at[1] : j])
            steps += [(rows[i], cells[j])] if i < len(rows) else []
            at = (i + 1, j + 1)
        return steps

    def _gathered(self, steps: list[Step]) -> list[Step]:
        """Of accounts that cost the same, the one with fewer stretches: what was put in or taken out in two places, with bars
        between that are equal to it, is brought together."""
        for side, keys in ((0, self.keys_old), (1, self.keys_new)):
            alone = [n for n, step in enumerate(steps) if step[1 - side] is None]
            for before, here in pairwise(alone):
                if here - before < 2 or any(None in step for step in steps[before + 1 : here]):
                    continue
                own = [step[side] for step in steps[before + 1 : here + 1]]
                if all(keys[one or 0] == keys[other or 0] for one, other in pairwise(own)):
                    # All bars between are equal to the one that stands alone: it may as well stand first.
                    others = [step[1 - side] for step in steps[before + 1 : here]]
                    fresh = [None, *others]
                    for place, (mine, other) in enumerate(zip(own, fresh, strict=True)):
                        steps[before + 1 + place] = (mine, other) if side == 0 else (other, mine)
        return steps


def _cheap(column: Column, found: bool, share: float) -> float:
    heavy = weight(column)
    return min(heavy, costs.PASSAGE * share) if found and heavy > costs.BAR else heavy


def _with(steps: list[Step], gone: list[int], came: list[int]) -> list[Step]:
    """The steps with those of bars that moved put between them, in the order of both files."""
    result: list[Step] = []
    for step in steps:
        while gone and step[0] is not None and gone[0] < step[0]:
            result.append((gone.pop(0), None))
        while came and step[1] is not None and came[0] < step[1]:
            result.append((None, came.pop(0)))
        result.append(step)
    return [*result, *((i, None) for i in gone), *((None, j) for j in came)]
