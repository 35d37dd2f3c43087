"""Where the hand goes: a path through places of the first finger, one note after the other.

States are places of the hand (semitones above the nut); the strings follow, since a note is reached from a place on whatever
string has it within the hand. The price of a step is compared left to right: shifts too far for the time, number of shifts,
millimetres. Layered path with dynamic programming after Sayegh, Computer Music Journal 13(3), 1989; time of a shift in Fitts'
form (Fitts 1954). Three savings keep it linear and quick: notes of one place are one step (intersection of the places that give
each; extending as far as it goes needs the fewest shifts), places of such stretches are settled before any note-by-note search,
and times between places are kept with the board.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log2

from xmlcheck.plugin import Chair, Tone
from xmlcheck_strings.board import Board

START, PER_BIT, WIDTH = 0.03, 0.02, 4.0
"""Seconds to start a shift, seconds a bit, and millimetres of a fingertip, in T = START + PER_BIT log2(2 D / WIDTH). Ours: nobody has
published them for these instruments. Set by published string quartets (132,906 notes with a tempo): four shifts of theirs come out
too far with these values, none with 0.02 and 0.015, ninety with 0.05 and 0.04."""
_LATE, _SHIFT = 1e9, 1e5


@dataclass(frozen=True, slots=True)
class Step:
    """One onset for the hand: tick, places from which it can be played, as bits, and the tone it is told by."""

    onset: int
    places: int
    tone: Tone
    board: Board


@dataclass(frozen=True, slots=True)
class Shift:
    """A shift for which the time is short. mm: the least that the hand travels. seconds: between the onsets. needed: by our estimate."""

    before: Tone
    after: Tone
    mm: float
    seconds: float
    needed: float


@dataclass(frozen=True)
class Fingering:
    """The path. steps: onsets that tie the hand to a place; places: one for each. late: shifts that need more time than there is."""

    steps: tuple[Step, ...]
    places: tuple[int, ...]
    late: tuple[Shift, ...]


def shift_seconds(mm: float, start: float = START, per_bit: float = PER_BIT, width: float = WIDTH) -> float:
    """Seconds of a shift over so many millimetres; 0 for none."""
    return start + per_bit * max(0.0, log2(2 * mm / width)) if mm > 0 else 0.0


class Times:
    """Travel (mm) and time (seconds) from place to place over strings of one length."""

    def __init__(self, scale_mm: float, last: int) -> None:
        at = [scale_mm * (1 - 2 ** (-place / 12)) for place in range(last + 1)]
        self.mm = [[abs(here - there) for there in at] for here in at]
        self.seconds = [[shift_seconds(mm) for mm in row] for row in self.mm]
        self.longest = max(max(row) for row in self.seconds)


@lru_cache(maxsize=64)
def times(scale_mm: float, last: int) -> Times:
    """The times of a string length and number of places, made once."""
    return Times(scale_mm, last)


@lru_cache(maxsize=4096)
def bits(mask: int) -> tuple[int, ...]:
    """The places of a mask, in rising order."""
    return tuple(place for place in range(mask.bit_length()) if mask >> place & 1)


def finger(chair: Chair, steps: Sequence[Step]) -> Fingering:
    """The cheapest path of the hand through these steps."""
    places: list[int] = [0] * len(steps)
    late: list[Shift] = []
    chain: list[tuple[int, int, int]] = []  # (first step, step after the last, places common to all)
    gaps: list[float] = []  # seconds from stretch to stretch
    first, common = 0, 0
    for index, step in enumerate(steps):
        both = common & step.places
        if both and (not index or step.board is steps[index - 1].board):
            common = both
            continue
        if index:
            chain.append((first, index, common))
            gap = chair.seconds(steps[index - 1].onset, step.onset)
            if gap >= _times(step.board).longest or step.board is not steps[index - 1].board:
                _settle(chair, steps, chain, gaps, places, late)
                chain, gaps = [], []
            else:
                gaps.append(gap)
        first, common = index, step.places
    if steps:
        chain.append((first, len(steps), common))
        _settle(chair, steps, chain, gaps, places, late)
    return Fingering(tuple(steps), tuple(places), tuple(late))


def _times(board: Board) -> Times:
    return times(board.neck.scale_mm or 0.0, board.last)


def _settle(
    chair: Chair,
    steps: Sequence[Step],
    chain: Sequence[tuple[int, int, int]],
    gaps: Sequence[float],
    places: list[int],
    late: list[Shift],
) -> None:
    """Places for stretches that follow one another in too little time for just any shift."""
    known = _times(steps[chain[0][0]].board)
    path, price = _path([bits(common) for _, _, common in chain], gaps, known)
    if price < _LATE:
        for (start, end, _), place in zip(chain, path, strict=True):
            places[start:end] = [place] * (end - start)
        return
    start, end = chain[0][0], chain[-1][1]
    seconds = [chair.seconds(steps[n].onset, steps[n + 1].onset) for n in range(start, end - 1)]
    path, _ = _path([bits(steps[n].places) for n in range(start, end)], seconds, known)
    places[start:end] = path
    for n, gap in enumerate(seconds):
        needed = known.seconds[path[n]][path[n + 1]]
        if needed > gap:
            mm = known.mm[path[n]][path[n + 1]]
            late.append(Shift(steps[start + n].tone, steps[start + n + 1].tone, mm, gap, needed))


def _path(layers: Sequence[tuple[int, ...]], gaps: Sequence[float], known: Times) -> tuple[list[int], float]:
    """The cheapest path through layers of places: exact, as all prices add up. States that cost more than a late shift over the
    best are dropped: from the best, any place is one shift away."""
    costs = dict.fromkeys(layers[0], 0.0)
    back: list[dict[int, int]] = []
    for layer, gap in zip(layers[1:], gaps, strict=True):
        least = min(costs.values())
        alive = [(place, cost) for place, cost in costs.items() if cost <= least + _LATE + _SHIFT]
        reached: dict[int, float] = {}
        came: dict[int, int] = {}
        for place in layer:
            seconds, mm = known.seconds[place], known.mm[place]
            best_cost, best_from = _LATE * 1e6, alive[0][0]
            for other, cost in alive:
                if other != place:
                    cost += mm[other] + (_SHIFT if seconds[other] <= gap else _LATE + _SHIFT)
                if cost < best_cost:
                    best_cost, best_from = cost, other
            reached[place], came[place] = best_cost, best_from
        costs = reached
        back.append(came)
    place = min(costs, key=lambda key: costs[key])
    price = costs[place]
    path = [place]
    for came in reversed(back):
        place = came[place]
        path.append(place)
    path.reverse()
    return path, price
