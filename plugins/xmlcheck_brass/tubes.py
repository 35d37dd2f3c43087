"""Where notes lie on brass: the partials of each tube, and the valves or slide added.

Partials of a tube: n times the frequency of its fundamental. The notes are those of the equal-tempered scale nearest to them
(arithmetic; 7, 11, 13 and 14 lie far off, and only a slide or the lips put them right).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log2

from xmlcheck_brass.facets import Brass, Side
from xmlcheck_winds.derived import Step

SLOW = 0.5
"""Seconds between two notes from which on the slide has time for any change (ours)."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One way to play a note: tube, partial, semitones added to the tube by valves or slide."""

    side: Side
    partial: int
    added: float


def semitones(partial: int) -> float:
    """Semitones of a partial above the fundamental: 12 for 2, 19.02 for 3, 24 for 4."""
    return 12 * log2(partial)


def spots(brass: Brass, cents: int, tolerance: float = 0.4, sure: bool = False) -> tuple[Spot, ...]:
    """All ways to play a sounding pitch; empty where there is none.

    sure: leave out tubes that not every instrument has. tolerance: semitones by which the lips bend a note without valves or
    slide; with them every partial is put right.
    """
    found = []
    for side in brass.sides:
        if sure and side.optional:
            continue
        height = (cents - side.fundamental.cents) / 100
        for partial in range(side.lowest_partial, side.highest_partial + 1):
            added = semitones(partial) - height
            tuned = round(added) if brass.kind.value == "valves" else added
            if -tolerance <= added <= side.longest + tolerance and abs(added - tuned) <= tolerance:
                found.append(Spot(side, partial, max(0.0, min(float(side.longest), float(tuned)))))
    return tuple(found)


def attached(brass: Brass, cents: int) -> bool:
    """Whether a note is had only with a tube that not every instrument has."""
    found = spots(brass, cents)
    return bool(found) and all(spot.side.optional for spot in found)


def shared(brass: Brass, low: int, high: int) -> bool:
    """Whether both pitches lie on one partial of one tube, so that the slide joins them without a break."""
    first = {(spot.side.id, spot.partial) for spot in spots(brass, low)}
    return any((spot.side.id, spot.partial) in first for spot in spots(brass, high))


def slide_speeds(brass: Brass, steps: Sequence[Step], sure: bool) -> list[float]:
    """Semitones of slide a second between neighbouring steps, on the way through that moves the slide least.

    sure: without tubes that not every instrument has. Empty where a note lies on none of the tubes.
    """
    layers = [spots(brass, step.cents, sure=sure) for step in steps]
    if not all(layers):
        return []
    best = [0.0] * len(layers[0])
    back: list[list[int]] = []
    for before, layer in pairwise(layers):
        row, came = [], []
        for spot in layer:
            prices = [best[index] + abs(spot.added - other.added) for index, other in enumerate(before)]
            index = min(range(len(prices)), key=prices.__getitem__)
            row.append(prices[index])
            came.append(index)
        best = row
        back.append(came)
    index = min(range(len(best)), key=best.__getitem__)
    path = [index]
    for came in reversed(back):
        path.append(came[path[-1]])
    path.reverse()
    places = [layers[n][i].added for n, i in enumerate(path)]
    return [abs(places[n + 1] - places[n]) / steps[n].gap if 0 < steps[n].gap < SLOW else 0.0 for n in range(len(places) - 1)]
