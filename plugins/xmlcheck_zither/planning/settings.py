"""Things that stand in one of a few positions (pedals, levers) while the music goes on: the way with the fewest changes.

A path through settings, one layer a chord. A setting is kept only while it can still win: from every other setting it lies as
many changes away as it differs, so one that costs more than that is never better. Where even so too many remain, the cheapest
are kept and the result says what bound holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import ne

Setting = tuple[int | None, ...]
"""The position of each item; None while no note has needed it."""
Needed = tuple[tuple[int, int], ...]
"""(item, position) pairs that one chord needs."""
KEPT = 600


@dataclass(frozen=True, slots=True)
class Option:
    """One way to play a chord: what it needs, and how many of its notes are taken otherwise than written."""

    needed: Needed
    otherwise: int = 0


@dataclass(frozen=True, slots=True)
class Way:
    """What each chord is played with. impossible: indices of chords that have no option (they need nothing then). changes: in all.
    otherwise: notes not taken as written. bound: no way has fewer changes. exact: this is the fewest."""

    needed: tuple[Needed, ...]
    settings: tuple[Setting, ...]
    impossible: tuple[int, ...]
    changes: int
    otherwise: int
    bound: int
    exact: bool

    @property
    def opening(self) -> Setting:
        """The setting before the first note: each item in the first position that it is needed in."""
        first: dict[int, int] = {}
        for needed in self.needed:
            for item, position in needed:
                first.setdefault(item, position)
        size = len(self.settings[0]) if self.settings else 0
        return tuple(first.get(item) for item in range(size))


def fewest(chords: Sequence[Sequence[Option]], size: int, kept: int = KEPT) -> Way:
    """The way with the fewest changes, then the fewest notes taken otherwise. size: how many items there are."""
    start: Setting = (None,) * size
    layer: dict[Setting, tuple[int, int]] = {start: (0, 0)}
    trail: list[dict[Setting, tuple[Setting, Needed]]] = []
    impossible: list[int] = []
    cut: int | None = None
    for index, options in enumerate(chords):
        if not options:
            impossible.append(index)
        following: dict[Setting, tuple[int, int]] = {}
        came: dict[Setting, tuple[Setting, Needed]] = {}
        for setting, (changes, otherwise) in layer.items():
            for option in options or (Option(()),):
                after, moved = _set(setting, option.needed)
                cost = changes + moved, otherwise + option.otherwise
                if after not in following or cost < following[after]:
                    following[after], came[after] = cost, (setting, option.needed)
        layer = _promising(following)
        if len(layer) > kept:
            ranked = sorted(layer.items(), key=lambda item: item[1])
            dropped = ranked[kept][1][0]
            cut = dropped if cut is None else min(cut, dropped)
            layer = dict(ranked[:kept])
        trail.append(came)
    end = min(layer, key=lambda setting: layer[setting])
    changes, otherwise = layer[end]
    settings, taken = [end], []
    for came in reversed(trail):
        before, needed = came[settings[-1]]
        settings.append(before)
        taken.append(needed)
    bound = changes if cut is None else min(cut, changes)
    path = tuple(reversed(settings[:-1]))
    return Way(tuple(reversed(taken)), path, tuple(impossible), changes, otherwise, bound, bound == changes)


def _set(setting: Setting, needed: Iterable[tuple[int, int]]) -> tuple[Setting, int]:
    """The setting with these positions, and how many items that moves; one that was never used costs nothing."""
    after, moved = list(setting), 0
    for item, position in needed:
        if after[item] is not None and after[item] != position:
            moved += 1
        after[item] = position
    return tuple(after), moved


def _promising(layer: Mapping[Setting, tuple[int, int]]) -> dict[Setting, tuple[int, int]]:
    """The settings that can still be part of the best way, judged against the cheapest ones."""
    cheapest = sorted(layer.items(), key=lambda item: item[1])[:3]
    return {
        setting: cost
        for setting, cost in layer.items()
        if not any(cost[0] - other[0] > 1 and other[0] + _apart(known, setting) < cost[0] for known, other in cheapest)
    }


def _apart(known: Setting, other: Setting) -> int:
    """Changes that at most separate the future of two settings: items that stand otherwise in them."""
    return sum(map(ne, known, other))


@dataclass(frozen=True, slots=True)
class Change:
    """One item that moves: free from the end of its last use in the old position until its first in the new. chord: the index of
    the chord that needs it."""

    item: int
    before: int
    after: int
    release: float
    deadline: float
    chord: int


def changes(times: Sequence[tuple[float, float]], needed: Sequence[Needed]) -> tuple[Change, ...]:
    """The items that move, from (start, end) of each chord and what it needs."""
    last: dict[int, tuple[float, int]] = {}
    found: list[Change] = []
    for index, ((start, end), one) in enumerate(zip(times, needed, strict=True)):
        for item, position in one:
            known = last.get(item)
            if known is not None and known[1] != position:
                found.append(Change(item, known[1], position, known[0], start, index))
            last[item] = (max(end, known[0]) if known is not None and known[1] == position else end), position
    return tuple(found)
