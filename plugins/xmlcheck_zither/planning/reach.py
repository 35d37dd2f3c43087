"""What one string gives besides the pitch it is tuned to, and what that costs a player."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

IMPOSSIBLE, UNLIKE, EFFORT, MOVED = 10**18, 10**14, 10**7, 10**3
"""One cost is a whole number: notes that cannot be played, degrees that open unlike in their octaves where custom sets them alike,
half points of pressing, strings moved and how far (tens of cents). The factors keep them apart, so that less is better in that
order."""
OPEN, SEMITONE, TONE, WIDE, RARE, PULLED = 0, 2, 3, 4, 8, 6
"""Half points of effort; ours, no source: an open string, pressed a semitone, a tone, further, as far as has to be asked for,
pulled down."""


def moving(cents: int) -> int:
    """The cost of one string that stands `cents` off its usual pitch."""
    return MOVED + abs(cents) // 10 if cents else 0


def playing(cost: int) -> int:
    """A cost without the strings moved: what cannot be played, and what is pressed."""
    return cost // IMPOSSIBLE * IMPOSSIBLE + cost % UNLIKE // EFFORT * EFFORT


def impossible(cost: int) -> int:
    """Weighted notes that cannot be played."""
    return cost // IMPOSSIBLE


def points(cost: int) -> float:
    """Weighted points of pressing: 1 for a semitone, 1.5 for a tone."""
    return cost % UNLIKE // EFFORT / 2


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a string is pressed up (asked for, and at all) or pulled down, in cents; within `tolerance` it counts as open."""

    up: int = 0
    limit: int = 0
    down: int = 0
    tolerance: int = 30

    def effort(self, above: int) -> int | None:
        """Half points for a pitch `above` cents over the open string; None where the string does not give it."""
        near = self.tolerance
        if -near <= above <= near:
            return OPEN
        if above < 0:
            return PULLED if -above <= self.down + near and self.down else None
        if above > max(self.up, self.limit) + near or not max(self.up, self.limit):
            return None
        if above > self.up + near:
            return RARE
        return SEMITONE if above <= 100 + near else TONE if above <= 200 + near else WIDE

    def between(self, pitch: int, below: int | None, above: int | None) -> int | None:
        """The least effort for a pitch that lies between two neighbouring strings; one of them may be missing."""
        found = [
            effort for string in (below, above) if string is not None and (effort := self.effort(pitch - string)) is not None
        ]
        return min(found, default=None)

    def least(self, pitch: int, strings: Sequence[int]) -> int | None:
        """The least effort for a pitch on strings that are sorted from low to high."""
        index = bisect_right(strings, pitch)
        below = strings[index - 1] if index else None
        above = strings[index] if index < len(strings) else None
        return self.between(pitch, below, above)


def serving(demand: Mapping[int, int], strings: Sequence[int], reach: Reach) -> int:
    """The cost of playing these pitches (cents to weight) on strings sorted from low to high; what is moved is not counted."""
    cost = 0
    for pitch, weight in demand.items():
        found = reach.least(pitch, strings)
        cost += weight * (IMPOSSIBLE if found is None else found * EFFORT)
    return cost
