"""The order of cues that retunes least: exact for up to 12 cues (Held and Karp's dynamic programming over subsets, 1962)."""

from __future__ import annotations

from collections.abc import Sequence

MOST = 12
"""Cues for which all orders are weighed; beyond, the nearest is taken next and it is said."""


def least(costs: Sequence[Sequence[float]]) -> tuple[float, tuple[int, ...], bool]:
    """(cost, order, whether it is the least of all) of visiting every cue once; costs[i][j]: from cue i to cue j.

    Of equal orders the one nearest to the given order is taken.
    """
    count = len(costs)
    if count == 0:
        return 0.0, (), True
    if count > MOST:
        return *_nearest(costs), False
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {(1 << n, n): (0.0, (n,)) for n in range(count)}
    for _ in range(count - 1):
        grown: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {}
        for (seen, last), (cost, order) in best.items():
            for then in range(count):
                if seen >> then & 1:
                    continue
                key, found = (seen | 1 << then, then), (cost + costs[last][then], (*order, then))
                if key not in grown or found < grown[key]:
                    grown[key] = found
        best = grown
    cost, order = min(best.values())
    return cost, order, True


def _nearest(costs: Sequence[Sequence[float]]) -> tuple[float, tuple[int, ...]]:
    found = []
    for start in range(len(costs)):
        order, left, cost = [start], set(range(len(costs))) - {start}, 0.0
        while left:
            then = min(left, key=lambda one: (costs[order[-1]][one], one))
            cost += costs[order[-1]][then]
            order.append(then)
            left.discard(then)
        found.append((cost, tuple(order)))
    return min(found)
