"""Random edits of whole bars: put in, cut, moved, repeated."""

from __future__ import annotations

import copy
from collections.abc import Iterable

from tests.unit.comparing.desk import Desk, Element, NoPlace, drop, move, without
from xmlcheck.comparing import costs

FORCES = ("key", "time", "clef", "transpose", "staff-details", "staves", "divisions")


def _free_bars(desk: Desk, count: int) -> int:
    """The first of `count` bars that no edit has used and that hold music only: no change of key, no repeat, in any part."""
    last = desk.bars() - count - 1
    for first in desk.rng.sample(range(1, last), last - 1) if last > 1 else []:
        if all(_plain(desk, bar) for n in range(count) for bar in desk.column(first + n)):
            return first
    raise NoPlace


def _plain(desk: Desk, bar: Element) -> bool:
    if bar in desk.touched or any(note in desk.touched for note in bar.iter("note", "words", "dynamics")):
        return False
    return (
        not any(bar.find(f"attributes/{name}") is not None for name in FORCES) and bar.find("barline") is None and _tempo(bar)
    )


def _tempo(bar: Element) -> bool:
    """Whether a bar has nothing that is for all parts."""
    return not any(True for _ in bar.iter("sound", "metronome", "rehearsal", "segno", "coda", "print"))


def _heads(bars: Iterable[Element]) -> int:
    return sum(1 for bar in bars for note in bar.iterfind("note") if note.find("rest") is None)


def bars_inserted(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, 1)
    cost = 0.0
    for _ in range(count):
        column = [copy.deepcopy(bar) for bar in desk.column(first)]
        for bar, after in zip(column, desk.column(first), strict=True):
            _compose(bar, desk)
            after.addnext(bar)
            desk.touched.add(bar)
        cost += costs.BAR + costs.NOTE * _heads(column)
    desk.touched.update(desk.column(first))
    return cost


def _compose(bar: Element, desk: Desk) -> None:
    """Other music in the same rhythm."""
    bar.set("number", f"{bar.get('number')}X{desk.rng.randint(1, 999)}")
    for child in list(bar):
        if child.tag not in ("note", "backup", "forward"):
            bar.remove(child)
    without(bar, "id")
    for note in list(bar.iterfind("note")):
        drop(note, "notations", "tie", "lyric", "accidental", "beam")
        if note.find("pitch") is not None:
            steps = desk.rng.randint(-4, 4)
            move(note, steps, round(steps * 12 / 7))


def bars_deleted(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, count)
    column = [bar for n in range(count) for bar in desk.column(first + n)]
    cost = costs.BAR * count + costs.NOTE * _heads(column)
    desk.touched.update(desk.column(first - 1), desk.column(first + count))
    for bar in column:
        parent = bar.getparent()
        assert parent is not None
        parent.remove(bar)
    return cost


def bars_moved(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, count)
    goals = [
        goal
        for goal in range(1, desk.bars() - 1)
        if not first - 1 <= goal < first + count
        and all(_plain(desk, bar) for n in _span(first, goal, count) for bar in desk.column(n))
    ]
    moving = [desk.column(first + n) for n in range(count)]
    if not goals or not _heads([bar for column in moving for bar in column]):
        raise NoPlace
    goal = desk.column(desk.rng.choice(goals))
    for column in reversed(moving):
        for bar, after in zip(column, goal, strict=True):
            after.addnext(bar)
            desk.touched.add(bar)
    desk.touched.update(goal)
    return costs.PASSAGE


def _span(first: int, goal: int, count: int) -> range:
    """The bars from the passage to its goal, both included: within them nothing in force may change."""
    return range(min(first, goal), max(first + count, goal + 1))


def bars_repeated(desk: Desk) -> float:
    count = desk.rng.randint(1, 3)
    first = _free_bars(desk, count)
    columns = [desk.column(first + n) for n in range(count)]
    if not _heads([bar for column in columns for bar in column]):
        raise NoPlace
    places = columns[-1]
    for column in columns:
        copies = [copy.deepcopy(bar) for bar in column]
        for bar, after in zip(copies, places, strict=True):
            without(bar, "id")
            after.addnext(bar)
            desk.touched.add(bar)
        places = copies
        desk.touched.update(column)
    weight = costs.BAR * count + costs.NOTE * _heads([bar for column in columns for bar in column])
    return min(costs.PASSAGE, weight)
