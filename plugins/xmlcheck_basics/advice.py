"""What would hold a part that leaves its instrument's compass: a member of the family, two of them, or another octave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from xmlcheck.plugin import Compass, Profile, Siblings

TOLERANCE = 40
"""Cents past an end that are let pass, as the rules of the compass do."""
MOST = 3
"""Members of the family that are named (ours)."""
OCTAVES = {-1: "an octave lower", 1: "an octave higher", -2: "two octaves lower", 2: "two octaves higher"}


@dataclass(frozen=True)
class Advice:
    """Worked out when first asked for, because it reads the profiles of the whole family. heights: the part's notes, in cents."""

    heights: tuple[int, ...]
    compass: Compass
    siblings: Siblings | None

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """One remedy a line, each with its cost: instruments first, those that hold all before the others; octaves last."""
        here = outside(self.compass, self.heights)
        return (*self._instruments(here), *self._octaves(here)) if here else ()

    def _instruments(self, here: int) -> list[str]:
        heights, members = self.heights, []
        for profile in self.siblings.all if self.siblings is not None else ():
            compass = profile.get(Compass)
            if compass is not None:
                members.append((outside(compass, heights), uncomfortable(compass, heights), profile, compass))
        home = _middle(self.compass)
        members.sort(key=lambda item: (item[0], item[1], abs(_middle(item[3]) - home), item[2].id))
        whole = [
            f"{profile.name} ({compass.lowest.value} to {compass.highest.value}) holds all of it"
            + (_ends(ends) if ends else "")
            for missing, ends, profile, compass in members
            if not missing
        ]
        if whole:
            return whole[:MOST]
        told = [f"{item[2].name} holds {all_but(item[0])}" for item in members if item[0] < here]
        return [*self._pair([(item[2], item[3]) for item in members]), *told][:MOST]

    def _pair(self, members: Sequence[tuple[Profile, Compass]]) -> list[str]:
        """The instrument and one of its family that hold all between them."""
        own = self.siblings.profile.name if self.siblings is not None else ""
        beyond = [height for height in self.heights if outside(self.compass, [height])]
        for profile, compass in members:
            if not outside(compass, beyond):
                return [f"{own} and {profile.name} hold all of it between them, {profile.name} for {_notes(len(beyond))}"]
        return []

    def _octaves(self, here: int) -> list[str]:
        costs = {octaves: outside(self.compass, [height + 1200 * octaves for height in self.heights]) for octaves in OCTAVES}
        best = min(costs.values())
        if best >= here:
            return []
        octaves = next(octaves for octaves, cost in costs.items() if cost == best)
        return [f"{OCTAVES[octaves]}: {all_but(best)} fit{'' if best else 's'}, which changes the approved music"]


def outside(compass: Compass, heights: Sequence[int]) -> int:
    """How many of these notes (cents) the compass does not hold."""
    low, high = compass.lowest.value.cents - TOLERANCE, compass.highest.value.cents + TOLERANCE
    return sum(not low <= height <= high for height in heights)


def uncomfortable(compass: Compass, heights: Sequence[int]) -> int:
    """How many lie outside the comfortable compass."""
    low, high = compass.comfortable_lowest or compass.lowest, compass.comfortable_highest or compass.highest
    return sum(not low.value.cents <= height <= high.value.cents for height in heights)


def _middle(compass: Compass) -> float:
    """The middle of what is comfortable, in cents."""
    low, high = compass.comfortable_lowest or compass.lowest, compass.comfortable_highest or compass.highest
    return (low.value.cents + high.value.cents) / 2


def all_but(missing: int) -> str:
    """`all`, or `all but 3 notes`."""
    return f"all but {_notes(missing)}" if missing else "all of it"


def _ends(count: int) -> str:
    return f", {_notes(count)} of it outside what is comfortable"


def _notes(count: int) -> str:
    return "1 note" if count == 1 else f"{count} notes"
