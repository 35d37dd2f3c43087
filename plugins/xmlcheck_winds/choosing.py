"""Which size of a wind instrument: counts of plain and hindered notes for each, and the cheapest way through a part.

Prices are ours: an open note costs nothing, a forked or keyed one 1, one made by lip or head 2, a half-holed one 3, twice as much
where it is shorter than a fifth of a second; a change of instrument costs as much as a few half-holed notes. A note that the size
has not got cannot be bought at any price.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from xmlcheck_winds.classes import HALF_TONE, OUTSIDE, UNKNOWN, fingered
from xmlcheck_winds.facets import Fingering, Size
from xmlcheck_winds.planning import Cost, Path, cheapest

PRICES = {"open": 0.0, UNKNOWN: 0.0, "forked": 1.0, "keyed": 1.0, "bent": 2.0, "half": 3.0}
FAST = 0.2
"""Seconds under which a hindered note costs double (ours)."""
CHANGE = 10.0
"""Price of laying one instrument down and taking another (ours)."""
STRAINED = 1.0
"""Price of a note above what players are asked for gladly (ours)."""


@dataclass(frozen=True, slots=True)
class Sung:
    """One note to be placed: cents, and seconds (a whole second where the tempo is not known)."""

    cents: int
    seconds: float = 1.0


@dataclass(frozen=True, slots=True)
class Fit:
    """How some notes lie on one size: notes it has not got, effort, and notes by fingering class."""

    size: Size
    outside: int
    effort: float
    counts: tuple[tuple[str, int], ...]

    @property
    def cost(self) -> Cost:
        return self.outside, self.effort

    @property
    def hindered(self) -> int:
        """Notes that are forked, half-holed, bent, or need a key outside the plain scale."""
        return sum(count for name, count in self.counts if name in ("forked", "half", "bent", "keyed"))

    @property
    def notes(self) -> int:
        return sum(count for _, count in self.counts)

    @property
    def told(self) -> str:
        """In words: `18 of 64 notes half-holed or forked`, `all notes plain`."""
        if self.outside:
            return f"{self.outside} of {self.notes} notes are not on it"
        kinds = {"half": "half-holed", "forked": "forked", "bent": "made by lip or head", "keyed": "keyed"}
        parts = [f"{count} {kinds[name]}" for name, count in self.counts if name in kinds]
        return f"{', '.join(parts)} of {self.notes} notes" if parts else "all notes plain"


def fit(notes: Iterable[Sung], size: Size, fingering: Fingering | None) -> Fit:
    """How these notes lie on a size."""
    counts: Counter[str] = Counter()
    effort = 0.0
    for note in notes:
        name = fingered(fingering, size, note.cents).name
        if name in (OUTSIDE, "none"):
            counts[OUTSIDE] += 1
            continue
        counts[name] += 1
        effort += PRICES[name] * (2 if note.seconds < FAST else 1)
        if size.highest is not None and note.cents > size.highest.cents + HALF_TONE:
            effort += STRAINED
    return Fit(size, counts[OUTSIDE], effort, tuple(sorted(counts.items())))


def summed(fits: Sequence[Fit]) -> Fit:
    """Several stretches together, under the first one's size."""
    counts: Counter[str] = Counter()
    for one in fits:
        counts.update(dict(one.counts))
    outside, effort = sum(one.outside for one in fits), sum(one.effort for one in fits)
    return Fit(fits[0].size, outside, effort, tuple(sorted(counts.items())))


def ranked(notes: Sequence[Sung], sizes: Sequence[Size], fingering: Fingering | None) -> list[Fit]:
    """All sizes for the same notes, the best first; of equals the usual one, then those carried as a matter of course."""
    fits = [fit(notes, size, fingering) for size in preferred(sizes)]
    return sorted(fits, key=lambda one: one.cost)


def preferred(sizes: Sequence[Size]) -> list[Size]:
    """The sizes in the order in which equal ones are offered: the usual one, those carried, those that must be asked for."""
    return sorted(sizes, key=lambda size: (not size.usual, size.ordered))


def through(
    stretches: Sequence[Sequence[Sung]],
    free: Sequence[float],
    sizes: Sequence[Size],
    fingering: Fingering | None,
    seconds: float,
    price: float = CHANGE,
) -> tuple[Path, list[Size]]:
    """The cheapest sizes for the stretches of a part: the path, and the size of each. free[i]: seconds free before stretch i."""
    order = preferred(sizes)
    costs = [[fit(notes, size, fingering).cost for size in order] for notes in stretches]
    path = cheapest(costs, free, seconds, price)
    return path, [order[index] for index in path.settings]
