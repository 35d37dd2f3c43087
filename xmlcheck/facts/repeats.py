"""Repeated passages: from where to where, how often, and which ending at which time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from xmlcheck.facts.signs import Bar


@dataclass(frozen=True, slots=True)
class Ending:
    """An ending from bar `first` to bar `last` (indices), played at the times in `numbers`. returns: it goes back."""

    first: int
    last: int
    numbers: frozenset[int]
    returns: bool


@dataclass(frozen=True, slots=True)
class Repeat:
    """A passage from bar `start` to bar `last`, its endings included, that is played `times` times.

    plan: the index in `endings` for each time, from the first; None where that time goes by all endings.
    """

    start: int
    last: int
    times: int
    after_jump: bool = False
    endings: tuple[Ending, ...] = ()
    plan: tuple[int | None, ...] = ()


def repeats(bars: Sequence[Bar]) -> tuple[Repeat, ...]:
    """The repeated passages, in order of their last bar.

    A backward sign goes to the last forward sign that none has answered yet, so signs may be nested; where there is none, to
    the bar after the last repeat or closing barline, or to the beginning (common practice, no source).
    """
    found: list[Repeat] = []
    open_signs: list[int] = []
    start = 0
    groups = {group[0].first: group for group in _groups(bars)}
    index = 0
    while index < len(bars):
        bar, last = bars[index], index
        if bar.forward:
            open_signs.append(index)
        group = groups.get(index, [])
        if not any(ending.returns for ending in group):
            group = []  # brackets without a repeat sign: nothing is repeated
        if group or bar.backward:
            last = group[-1].last if group else index
            begin = open_signs.pop() if open_signs else start
            found.append(_repeat(begin, last, bars, group))
            start = last + 1
        if bars[last].final:
            open_signs.clear()
            start = last + 1
        index = last + 1
    return tuple(found)


def _repeat(start: int, last: int, bars: Sequence[Bar], group: Sequence[Ending]) -> Repeat:
    first = group[0].first if group else last
    jumped = any(bar.after_jump for bar in bars[first : last + 1])
    plan = _plan(group) if group else ()
    return Repeat(start, last, len(plan) or bars[last].backward, jumped, tuple(group), plan)


def _plan(group: Sequence[Ending]) -> tuple[int | None, ...]:
    """For each time the ending with its number, or the next higher one. A last time goes by an ending that stands alone.

    Where the numbers would leave out an ending, they cannot be meant, and the endings are played in turn.
    """
    times = max(number for ending in group for number in ending.numbers)
    plan: list[int | None] = []
    for turn in range(1, times + 1):
        fits = [index for index, ending in enumerate(group) if turn in ending.numbers]
        later = [index for index, ending in enumerate(group) if len(group) > 1 and max(ending.numbers) > turn]
        plan.append(next(iter(fits or later), None))
    alone = [None] if len(group) == 1 else []
    plan += alone
    reached: set[int] = set()
    for index in plan:
        if index is None:
            break
        reached.add(index)
        if not group[index].returns:
            break
    return tuple(plan) if len(reached) == len(group) else (*range(len(group)), *alone)


def _groups(bars: Sequence[Bar]) -> Iterator[list[Ending]]:
    """Endings that follow one another bar to bar. A further first ending begins a new group."""
    group: list[Ending] = []
    for ending in _endings(bars):
        taken = max((number for other in group for number in other.numbers), default=0)
        joins = bool(group) and ending.first == group[-1].last + 1 and 1 not in ending.numbers and group[-1].returns
        if group and not joins:
            yield group
            group, taken = [], 0
        group.append(ending if ending.numbers else replace(ending, numbers=frozenset((taken + 1,))))
    if group:
        yield group


def _endings(bars: Sequence[Bar]) -> Iterator[Ending]:
    """Every ending. It ends at its sign or at a repeat sign; one that neither closes is one bar long."""
    starts = [index for index, bar in enumerate(bars) if bar.ending is not None]
    for first, following in pairwise([*starts, len(bars)]):
        last = first
        for index in range(first, following):
            if index > first and bars[index].forward:
                break
            if bars[index].closes or bars[index].backward:
                last = index
                break
        yield Ending(first, last, bars[first].ending or frozenset(), bool(bars[last].backward))
