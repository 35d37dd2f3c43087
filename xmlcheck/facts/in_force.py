"""What holds at a tick, found by halving a list that is sorted by time.

Who looks along all notes for each note does the square of their number in work; here a look costs a handful of steps.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from operator import attrgetter, itemgetter
from typing import Generic, Protocol, TypeVar

from xmlcheck.model import Part

__all__ = ["InForce", "PartSigns", "inside", "joined", "later", "latest", "within"]


class Timed(Protocol):
    """What begins at a tick."""

    @property
    def onset(self) -> int: ...


class OnStaff(Timed, Protocol):
    """A sign on one staff; 0: on all staves."""

    @property
    def staff(self) -> int: ...


Event = TypeVar("Event", bound=Timed)
Sign = TypeVar("Sign", bound=OnStaff)
_onset = attrgetter("onset")
_start = itemgetter(0)
Stretch = tuple[float, float]


def latest(events: Sequence[Event], tick: int) -> Event | None:
    """The last of these events, sorted by onset, that begins at the tick or before it."""
    index = bisect_right(events, tick, key=_onset)
    return events[index - 1] if index else None


def later(events: Sequence[Event], tick: int) -> Event | None:
    """The first of these events, sorted by onset, that begins after the tick."""
    index = bisect_right(events, tick, key=_onset)
    return events[index] if index < len(events) else None


def within(events: Sequence[Event], start: float, end: float) -> Sequence[Event]:
    """Those of these events, sorted by onset, that begin from `start` on and before `end`."""
    return events[bisect_left(events, start, key=_onset) : bisect_left(events, end, key=_onset)]


def joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Stretches (start, end) in order, those that touch made one."""
    result: list[Stretch] = []
    for start, end in sorted(stretches):
        if result and start <= result[-1][1]:
            result[-1] = (result[-1][0], max(result[-1][1], end))
        else:
            result.append((start, end))
    return result


def inside(stretches: Sequence[Stretch], tick: int) -> bool:
    """Whether a tick lies in one of these stretches (start, end), which are in order and do not overlap."""
    index = bisect_right(stretches, tick, key=_start)
    return index > 0 and tick < stretches[index - 1][1]


class InForce(Generic[Sign]):
    """Signs of one kind, sorted by onset, each in force until the next on its staff. Staff 0 stands for all staves."""

    def __init__(self, signs: Iterable[Sign]) -> None:
        self._signs = tuple(signs)
        self._order = {id(sign): number for number, sign in enumerate(self._signs)}
        self._own: dict[int, list[Sign]] = {}  # staff number: the signs that have it
        for sign in self._signs:
            self._own.setdefault(sign.staff, []).append(sign)
        self._seen: dict[int, list[Sign]] = {}  # staff: the signs that hold there

    def at(self, tick: int, staff: int = 1) -> Sign | None:
        """The last sign at or before a tick that holds for this staff."""
        if staff not in self._seen:
            self._seen[staff] = [sign for sign in self._signs if sign.staff in (0, staff)]
        return latest(self._seen[staff], tick)

    def last(self, tick: int) -> Sign | None:
        """The last sign at or before a tick, whatever its staff."""
        return latest(self._signs, tick)

    def during(self, first: int, last: int) -> list[Sign]:
        """In order: of each staff number the sign that is in force at tick `first`, and those that come as far as `last`."""
        held = [sign for own in self._own.values() if (sign := latest(own, first)) is not None]
        return [*sorted(held, key=lambda sign: self._order[id(sign)]), *within(self._signs, first + 1, last + 1)]


class PartSigns:
    """The signs of one part. doubling: whether other instruments double it at the octave."""

    def __init__(self, part: Part) -> None:
        sounding = [item for item in part.transposes if not item.for_part]
        self.keys = InForce(part.keys)
        self.transposes = InForce(sounding)
        self.doubling = any(item.doubled for item in sounding)
