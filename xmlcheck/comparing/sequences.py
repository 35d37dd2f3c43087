"""Alignment of two sequences: the cheapest way from one to the other, and the longest common subsequence.

`table` and `path` are the dynamic programme of Needleman and Wunsch (Journal of Molecular Biology 48, 1970, 443-453) with
costs in place of scores; a band keeps it near-linear (Ukkonen, Information and Control 64, 1985, 100-118) and gives up
nothing: it is widened until no path outside it can be cheaper. `common` is the greedy O(ND) of Myers (Algorithmica 1, 1986,
251-266). A leaf module.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Hashable, Sequence

Change = Callable[[int, int], float]
"""Cost of turning old element i into new element j; 0 where they are the same."""
One = Callable[[int], float]
"""Cost of taking out old element i, or of putting in new element j."""
Step = tuple[int | None, int | None]
"""Old and new index; None on one side for what was put in or taken out."""

INFINITE = float("inf")


def table(old: int, new: int, change: Change, delete: One, insert: One, band: int | None = None) -> list[list[float]]:
    """Least costs: row i, column j is the cost of turning the first i old elements into the first j new ones.

    band: cells further than this from the diagonals between the two corners are left infinite; no cost may then be negative.
    """
    low, high = (-old, new) if band is None else (min(0, new - old) - band, max(0, new - old) + band)
    rows: list[list[float]] = []
    for i in range(old + 1):
        row = [INFINITE] * (new + 1)
        above = rows[-1] if rows else row
        first, last = max(0, i + low), min(new, i + high)
        taken = delete(i - 1) if i else 0.0
        for j in range(first, last + 1):
            best = 0.0 if i == j == 0 else INFINITE
            if i:
                best = min(best, above[j] + taken)
            if j and row[j - 1] < INFINITE:
                best = min(best, row[j - 1] + insert(j - 1))
            if i and j and (above[j - 1] < best or band is None):  # a change may gain, where scores are turned into costs
                best = min(best, above[j - 1] + change(i - 1, j - 1))
            row[j] = best
        rows.append(row)
    return rows


def path(
    old: int, new: int, change: Change, delete: One, insert: One, cheapest: float | None = None, most: int | None = None
) -> list[Step]:
    """The cheapest steps from old to new, in order. Of equal ones the changes stand first and what is new stands late.

    cheapest: the least cost of taking out or putting in any one element; with it the band is used, without it the whole table.
    most: cells after which the band is no longer widened, so that what has nothing in common takes no more time than it merits.
    """
    band = None if cheapest is None else 4
    while True:
        rows = table(old, new, change, delete, insert, band)
        if band is None or cheapest is None or band >= max(old, new) or rows[old][new] <= 2 * (band + 1) * cheapest:
            return _back(rows, old, new, change, delete, insert)
        if most is not None and (6 * band + abs(new - old)) * old > most:
            return _back(rows, old, new, change, delete, insert)
        band *= 3


def _back(rows: list[list[float]], i: int, j: int, change: Change, delete: One, insert: One) -> list[Step]:
    steps: list[Step] = []
    while i or j:
        here = rows[i][j]
        if j and _same(rows[i][j - 1] + insert(j - 1), here):
            j -= 1
            steps.append((None, j))
        elif i and j and rows[i - 1][j - 1] < INFINITE and _same(rows[i - 1][j - 1] + change(i - 1, j - 1), here):
            i, j = i - 1, j - 1
            steps.append((i, j))
        else:
            i -= 1
            steps.append((i, None))
    steps.reverse()
    return steps


def _same(one: float, other: float) -> bool:
    return abs(one - other) < 1e-9


def common(old: Sequence[Hashable], new: Sequence[Hashable]) -> list[tuple[int, int]]:
    """A longest common subsequence, as index pairs in order. Time grows with length times number of differences."""
    size = len(old) + len(new)
    reach = {1: 0}
    trail: list[dict[int, int]] = []
    for differences in range(size + 1):
        trail.append(dict(reach))
        for k in range(-differences, differences + 1, 2):
            down = k == -differences or (k != differences and reach[k - 1] < reach[k + 1])
            x = reach[k + 1] if down else reach[k - 1] + 1
            y = x - k
            while x < len(old) and y < len(new) and old[x] == new[y]:
                x, y = x + 1, y + 1
            reach[k] = x
            if x >= len(old) and y >= len(new):
                return _walk(trail, len(old), len(new))
    return []


def _walk(trail: list[dict[int, int]], x: int, y: int) -> list[tuple[int, int]]:
    pairs: list[tuple[int, int]] = []
    for differences in range(len(trail) - 1, -1, -1):
        reach, k = trail[differences], x - y
        down = k == -differences or (k != differences and reach[k - 1] < reach[k + 1])
        before = k + 1 if down else k - 1
        from_x = reach[before]
        from_y = from_x - before
        while x > from_x and y > from_y and x > 0 and y > 0:
            x, y = x - 1, y - 1
            pairs.append((x, y))
        if differences:
            x, y = from_x, from_y
    pairs.reverse()
    return pairs


def rising(values: Sequence[int]) -> list[int]:
    """Indices of a longest strictly rising subsequence (patience sorting)."""
    tops: list[int] = []
    at: list[int] = []
    before: list[int] = []
    for index, value in enumerate(values):
        pile = bisect_left(tops, value)
        before.append(at[pile - 1] if pile else -1)
        if pile == len(tops):
            tops.append(value)
            at.append(index)
        else:
            tops[pile], at[pile] = value, index
    chain: list[int] = []
    index = at[-1] if at else -1
    while index >= 0:
        chain.append(index)
        index = before[index]
    chain.reverse()
    return chain
