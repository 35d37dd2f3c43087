"""A path through layers: for each stretch of a part one of several settings, changed only where there is time.

Each layer holds one node a setting; a node costs what the player must do there, an edge what must change in between. Costs are
compared from left to right: (cannot be done, effort, changes). All parts are sums, so the dynamic programme is exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Cost = tuple[int, float]


@dataclass(frozen=True, slots=True)
class Path:
    """The cheapest way through. settings: one index a stretch."""

    impossible: int
    effort: float
    changes: int
    settings: tuple[int, ...]


def cheapest(costs: Sequence[Sequence[Cost]], free: Sequence[float], seconds: float, price: float) -> Path:
    """The cheapest path. costs[i][k]: (impossible, effort) of stretch i with setting k. free[i]: seconds free before stretch i.

    A change needs `seconds` of free time and costs `price` in effort. Of equal paths the one with the lower settings first.
    """
    if not costs:
        return Path(0, 0.0, 0, ())
    best: list[tuple[int, float, int]] = [(one, effort, 0) for one, effort in costs[0]]
    back: list[list[int]] = []
    for index in range(1, len(costs)):
        row: list[tuple[int, float, int]] = []
        came: list[int] = []
        for setting, (impossible, effort) in enumerate(costs[index]):
            options = [
                (total[0] + impossible, total[1] + effort + price * (before != setting), total[2] + (before != setting), before)
                for before, total in enumerate(best)
                if before == setting or free[index] >= seconds
            ]
            chosen = min(options, key=lambda option: (*option[:3], option[3] != setting, option[3]))
            row.append(chosen[:3])
            came.append(chosen[3])
        best = row
        back.append(came)
    setting = min(range(len(best)), key=lambda k: (best[k], k))
    total = best[setting]
    path = [setting]
    for came in reversed(back):
        path.append(came[path[-1]])
    return Path(*total, tuple(reversed(path)))
