"""One tuning for a set of notes: every string free (exact, along the strings), or each degree alike in all octaves (exact too).

A pitch is taken from the string just below it, pressed, or from the one just above it, pulled: so the cost of a tuning is a sum
over neighbouring strings, and the best tuning is a shortest path.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from operator import itemgetter
from typing import Any

from xmlcheck_zither.planning.reach import EFFORT, IMPOSSIBLE, Reach, moving

Demand = Mapping[int, int]
Tuning = tuple[int, ...]
"""A pitch for each string, in the order of the strings' usual pitches from low to high."""


@dataclass
class Spans:
    """What the pitches between two neighbouring strings cost. Kept, as tunings share most of their neighbours."""

    demand: Demand
    reach: Reach
    _kept: dict[tuple[int | None, int | None], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._pitches = sorted(self.demand)

    def cost(self, below: int | None, above: int | None) -> int:
        """The cost of all pitches from `below` up to under `above`; None stands for no string on that side."""
        key = below, above
        if key not in self._kept:
            first = bisect_left(self._pitches, below) if below is not None else 0
            last = bisect_left(self._pitches, above) if above is not None else len(self._pitches)
            self._kept[key] = sum(self._one(pitch, below, above) for pitch in self._pitches[first:last])
        return self._kept[key]

    def _one(self, pitch: int, below: int | None, above: int | None) -> int:
        effort = self.reach.between(pitch, below, above)
        return self.demand[pitch] * (IMPOSSIBLE if effort is None else effort * EFFORT)


def freely(demand: Demand, options: Sequence[Sequence[int]], home: Tuning, reach: Reach) -> tuple[int, Tuning]:
    """The cheapest tuning and its cost, where each string may have any of its options and no string passes its neighbour.

    `home` is sorted from low to high; two strings may share a pitch. Exact. Time grows with strings times options squared.
    """
    spans = Spans(demand, reach)
    best: dict[int, int] = {}
    steps: list[dict[int, int]] = []
    for index in range(len(home) - 1, -1, -1):
        here: dict[int, int] = {}
        step: dict[int, int] = {}
        for pitch in options[index]:
            if index == len(home) - 1:
                here[pitch] = moving(pitch - home[index]) + spans.cost(pitch, None)
                continue
            found = min(
                ((spans.cost(pitch, above) + cost, above) for above, cost in best.items() if above >= pitch), default=None
            )
            if found is not None:
                here[pitch] = moving(pitch - home[index]) + found[0]
                step[pitch] = found[1]
        best = here
        steps.append(step)
    cost, pitch = min((spans.cost(None, pitch) + cost, pitch) for pitch, cost in best.items())
    tuning = [pitch]
    for step in reversed(steps[1:]):
        tuning.append(step[tuning[-1]])
    return cost, tuple(tuning)


def alike(demand: Demand, options: Sequence[Sequence[int]], home: Tuning, reach: Reach) -> tuple[int, Tuning] | None:
    """The cheapest tuning in which strings of one degree are moved alike in all octaves; None where no such tuning exists.

    Exact: degrees are eliminated one after the other from a sum of costs that each hold two neighbouring degrees.
    """
    degrees = sorted({pitch % 1200 for pitch in home})
    number = {degree: index for index, degree in enumerate(degrees)}
    of = [number[pitch % 1200] for pitch in home]
    shifts = [
        sorted(set.intersection(*({p - home[s] for p in options[s]} for s in range(len(home)) if of[s] == degree)))
        for degree in range(len(degrees))
    ]
    if not all(shifts):
        return None
    spans = Spans(demand, reach)
    tables = [_edge(spans, home, of, shifts, s) for s in range(len(home) - 1)]
    tables += [_end(spans, home, of, shifts)]
    solved = _eliminated(tables, shifts)
    if solved is None:
        return None
    cost, chosen = solved
    return cost, tuple(pitch + chosen[of[s]] for s, pitch in enumerate(home))


@dataclass(frozen=True, slots=True)
class Table:
    """Costs that depend on a few degrees: their numbers, and the cost of each choice of shifts; what is missing cannot be."""

    degrees: tuple[int, ...]
    costs: Mapping[tuple[int, ...], int]

    def lookup(self) -> tuple[Callable[[Sequence[int]], Any], Mapping[Any, int]]:
        """A function from all shifts to a key, and the costs by that key: one number where the table holds a single degree."""
        if len(self.degrees) == 1:
            return itemgetter(self.degrees[0]), {key[0]: cost for key, cost in self.costs.items()}
        return itemgetter(*self.degrees), self.costs


def _edge(spans: Spans, home: Tuning, of: Sequence[int], shifts: Sequence[Sequence[int]], s: int) -> Table:
    """The cost of what lies between string s and the next, and of moving string s."""
    one, two = of[s], of[s + 1]
    costs: dict[tuple[int, ...], int] = {}
    for a, b in product(shifts[one], shifts[two]) if one != two else ((shift, shift) for shift in shifts[one]):
        below, above = home[s] + a, home[s + 1] + b
        if below <= above:
            costs[(a, b) if one != two else (a,)] = spans.cost(below, above) + moving(a)
    return Table((one, two) if one != two else (one,), costs)


def _end(spans: Spans, home: Tuning, of: Sequence[int], shifts: Sequence[Sequence[int]]) -> Table:
    """The cost of what lies under the first and over the last string, and of moving the last."""
    first, last = of[0], of[-1]
    costs: dict[tuple[int, ...], int] = {}
    for a, b in product(shifts[first], shifts[last]) if first != last else ((shift, shift) for shift in shifts[first]):
        cost = spans.cost(None, home[0] + a) + spans.cost(home[-1] + b, None) + moving(b)
        costs[(a, b) if first != last else (a,)] = cost
    return Table((first, last) if first != last else (first,), costs)


def _eliminated(tables: list[Table], shifts: Sequence[Sequence[int]]) -> tuple[int, dict[int, int]] | None:
    """The least sum of the tables and the shift of each degree; None where no choice is allowed."""
    total, trail = 0, []
    known = [0] * len(shifts)
    for degree in range(len(shifts)):
        mine = [table for table in tables if degree in table.degrees]
        rest = tuple(sorted({d for table in mine for d in table.degrees} - {degree}))
        lookups = [table.lookup() for table in mine]
        costs: dict[tuple[int, ...], int] = {}
        picks: dict[tuple[int, ...], int] = {}
        for others in product(*(shifts[d] for d in rest)):
            for d, shift in zip(rest, others, strict=True):
                known[d] = shift
            for shift in shifts[degree]:
                known[degree] = shift
                parts = [found.get(key(known)) for key, found in lookups]
                if None not in parts:
                    cost = sum(part for part in parts if part is not None)
                    if others not in costs or cost < costs[others]:
                        costs[others], picks[others] = cost, shift
        if not costs:
            return None
        trail.append((degree, rest, picks))
        tables = [table for table in tables if degree not in table.degrees]
        if rest:
            tables.append(Table(rest, costs))
        else:
            total += costs[()]
    chosen: dict[int, int] = {}
    for degree, rest, picks in reversed(trail):
        chosen[degree] = picks[tuple(chosen[d] for d in rest)]
    return total, chosen
