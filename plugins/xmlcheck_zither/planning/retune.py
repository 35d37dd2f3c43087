"""When to retune: the tunings of a cue's stretches, chosen together under the time between them.

Dynamic programming over stretches and candidate tunings. Candidates are the named tunings, the opening tuning, and for every
run of neighbouring stretches the best tuning with all strings free and the best with each degree alike in all octaves. Where all
tunings together are few, all are candidates and the answer is the optimum. Else a lower bound says how far off it can be.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, product
from math import prod
from operator import ne

from xmlcheck_zither.planning.matching import taken
from xmlcheck_zither.planning.reach import IMPOSSIBLE, UNLIKE, Reach, impossible, playing, serving
from xmlcheck_zither.planning.strings import Tuning, alike, freely

FEW = 400
"""So many tunings are tried all together; above it candidates are chosen."""
MOST = 4
"""Strings changed on the way from one tuning to another, where time does not allow for all."""
Fits = Callable[[int, Tuning, Tuning, int], bool]


@dataclass(frozen=True, slots=True)
class Stretch:
    """The notes between two places where strings can be retuned. chords: pitches struck together (sorted) and their weight.

    given: a tuning that the part itself asks for here.
    """

    demand: Mapping[int, int]
    chords: Mapping[tuple[int, ...], int] = field(default_factory=dict)
    given: Tuning | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """A cue to plan for. home: usual pitches from low to high. options: pitches that each string may have. named: whole tunings
    in use. opening: the tuning that the part states at its head, else None. custom: whether a degree is set alike in all octaves
    unless agreed. in_cue: whether strings are retuned in the course of the cue."""

    stretches: tuple[Stretch, ...]
    home: Tuning
    options: tuple[tuple[int, ...], ...]
    reach: Reach
    named: tuple[Tuning, ...] = ()
    opening: Tuning | None = None
    custom: bool = False
    forced: bool = False
    in_cue: bool = True


@dataclass(frozen=True, slots=True)
class Answer:
    """A tuning for each stretch. cost, and bound: no plan costs less to play (see reach.py). exact: this is the optimum.

    alone: for each stretch what it costs to play at best if time were no matter.
    """

    tunings: tuple[Tuning, ...]
    cost: int
    bound: int
    exact: bool
    alone: tuple[int, ...]


def planned(problem: Problem, fits: Fits, few: int = FEW) -> Answer:
    """The plan of least cost. fits(index, before, after, moved): whether there is time before that stretch
    to retune so many strings."""
    stretches = problem.stretches
    alone = tuple(playing(_alone(problem, stretch, index == 0)) for index, stretch in enumerate(stretches))
    every = prod(len(options) for options in problem.options) <= few and problem.opening is None
    found = _all(problem) if every else candidates(problem)
    cost, tunings = _path(problem, found, fits)
    if not every and playing(cost) > sum(alone):
        more = list(dict.fromkeys([*found, *_between(problem, tunings)]))
        cost, tunings = _path(problem, more, fits)
    bound = sum(alone)
    return Answer(tunings, cost, bound, every or playing(cost) == bound, alone)


def _path(problem: Problem, found: Sequence[Tuning], fits: Fits) -> tuple[int, tuple[Tuning, ...]]:
    """The cheapest way through the stretches by these tunings: exact among them."""
    table = [[_stretch_cost(stretch, tuning, problem.reach) for tuning in found] for stretch in problem.stretches]
    rows: list[dict[int, tuple[int, int]]] = []
    changes: dict[tuple[int, int], int] = {}
    for index, stretch in enumerate(problem.stretches):
        row: dict[int, tuple[int, int]] = {}
        order = sorted(rows[-1].items(), key=lambda item: item[1][0]) if rows else []
        for k in _allowed(problem, stretch, found, index):
            if index == 0:
                row[k] = table[0][k] + _opening_cost(problem, found[k]), -1
                continue
            best: tuple[int, int] | None = None
            for j, (before, _) in order:
                if best is not None and before >= best[0]:
                    break
                pair = j, k
                moved = changes[pair] if pair in changes else changes.setdefault(pair, _moved(found[j], found[k]))
                if (best is None or before + moved < best[0]) and (
                    not moved or stretch.given is not None or (problem.in_cue and fits(index, found[j], found[k], moved))
                ):
                    best = before + moved, j
            if best is not None:
                row[k] = best[0] + table[index][k], best[1]
        rows.append(row)
    k = min(rows[-1], key=lambda n: rows[-1][n][0])
    cost, path = rows[-1][k][0], [k]
    for row in reversed(rows[1:]):
        path.append(row[path[-1]][1])
    return cost, tuple(found[k] for k in reversed(path))


def _between(problem: Problem, tunings: Sequence[Tuning]) -> list[Tuning]:
    """Tunings on the way from one stretch's to what its neighbour would have at best, string by string, the most useful first:
    where there is no time for all strings there may be for some."""
    found: list[Tuning] = []
    for index, stretch in enumerate(problem.stretches if not problem.forced else ()):
        wanted = freely(stretch.demand, problem.options, problem.home, problem.reach)[1]
        for start in {tunings[near] for near in (index - 1, index, index + 1) if 0 <= near < len(tunings)}:
            now = start
            for _ in range(MOST):
                steps = [(*now[:s], wanted[s], *now[s + 1 :]) for s in range(len(now)) if now[s] != wanted[s]]
                if not steps:
                    break
                now = min(steps, key=lambda tuning: serving(stretch.demand, sorted(tuning), problem.reach))
                found.append(now)
    return found


def candidates(problem: Problem) -> list[Tuning]:
    """Tunings worth trying, the usual one first, each once."""
    found: dict[Tuning, None] = {}
    if problem.opening is not None:
        found[problem.opening] = None
    found[problem.home] = None
    found |= dict.fromkeys(problem.named)
    found |= dict.fromkeys(stretch.given for stretch in problem.stretches if stretch.given is not None)
    for first in range(len(problem.stretches)):
        demand: dict[int, int] = {}
        for stretch in problem.stretches[first:]:
            for pitch, weight in stretch.demand.items():
                demand[pitch] = demand.get(pitch, 0) + weight
            regular = alike(demand, problem.options, problem.home, problem.reach)
            if regular is not None:
                found[regular[1]] = None
            if not problem.forced:
                found[freely(demand, problem.options, problem.home, problem.reach)[1]] = None
    return list(found)


def _all(problem: Problem) -> list[Tuning]:
    every = [tuning for tuning in product(*problem.options) if all(a <= b for a, b in pairwise(tuning))]
    every += [tuning for tuning in problem.named if tuning not in every]
    every += [s.given for s in problem.stretches if s.given is not None and s.given not in every]
    return [tuning for tuning in every if not problem.forced or not irregular(problem.home, tuning)]


def _allowed(problem: Problem, stretch: Stretch, found: Sequence[Tuning], index: int) -> Sequence[int]:
    if stretch.given is not None:
        return (found.index(stretch.given),)
    if index == 0 and problem.opening is not None:
        return (found.index(problem.opening),)
    return range(len(found))


def _alone(problem: Problem, stretch: Stretch, first: bool) -> int:
    """What the stretch costs at best: no tuning within reach, and within the customs of an opening tuning, costs less."""
    tunings = [*problem.named, *([problem.opening] if problem.opening is not None else [])]
    if stretch.given is not None:
        tunings.append(stretch.given)
    costs = [serving(stretch.demand, sorted(tuning), problem.reach) for tuning in tunings]
    if first and problem.opening is not None:
        return serving(stretch.demand, sorted(problem.opening), problem.reach)
    free = freely(stretch.demand, problem.options, problem.home, problem.reach)[0]
    regular = alike(stretch.demand, problem.options, problem.home, problem.reach)
    if regular is not None and (problem.forced or (first and problem.custom and impossible(regular[0]) == impossible(free))):
        free = regular[0]
    return min([free, *costs])


def _stretch_cost(stretch: Stretch, tuning: Tuning, reach: Reach) -> int:
    """The notes one by one, and those of a chord for which no string of their own is left."""
    ordered = sorted(tuning)
    cost = serving(stretch.demand, ordered, reach)
    for chord, weight in stretch.chords.items():
        strings = taken(chord, tuning, reach)
        reachable = sum(reach.least(pitch, ordered) is not None for pitch in chord)
        cost += weight * IMPOSSIBLE * (reachable - sum(string is not None for string in strings))
    return cost


def _opening_cost(problem: Problem, tuning: Tuning) -> int:
    """Setting up before the take: nothing for a tuning that has a name, else what is moved, and what is unlike its octaves."""
    if tuning == problem.opening or tuning in problem.named or tuning == problem.home:
        return 0
    odd = irregular(problem.home, tuning) if problem.custom else 0
    return odd * UNLIKE + _moved(problem.home, tuning)


def irregular(home: Tuning, tuning: Tuning) -> int:
    """How many degrees are not moved alike in all octaves."""
    shifts: dict[int, set[int]] = {}
    for usual, pitch in zip(home, tuning, strict=True):
        shifts.setdefault(usual % 1200, set()).add(pitch - usual)
    return sum(len(moved) > 1 for moved in shifts.values())


def _moved(before: Tuning, after: Tuning) -> int:
    """Strings that are retuned; it only decides between plans that are equal to play."""
    return sum(map(ne, before, after))
