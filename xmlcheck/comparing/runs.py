"""Passages in which all notes moved by one interval: one change, not one for each note."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from xmlcheck.comparing import costs
from xmlcheck.comparing.raw import Raw

LEAST = 3
"""Notes that must move together to be a passage."""
STAYED, OTHERWISE = 1.5, 0.25
"""What a note that stayed, or moved otherwise, takes from a passage to which each note that moved with it adds 1 (ours)."""


@dataclass(frozen=True, slots=True)
class Event:
    """One note that is on both sides, in order of time. interval: cents it moved by; stayed: a note without any difference.

    block, first, last: its block, and how many notes before and within it are told by this one event (unchanged bars).
    """

    place: tuple[int, int]
    interval: int
    raw: Raw | None
    count: int = 1


@dataclass(frozen=True, slots=True)
class Passage:
    """interval: cents. steps: letter steps. moved: the notes that did; others: events in it that did not."""

    interval: int
    steps: int
    moved: tuple[Raw, ...]
    stayed: tuple[Event, ...]
    respelled: tuple[Raw, ...]


def passages(events: Sequence[Event]) -> list[Passage]:
    """The passages among notes in order of time. A note belongs to one passage at most."""
    found: list[Passage] = []
    used: set[int] = set()
    intervals = Counter(event.interval for event in events if event.interval)
    for interval, count in intervals.most_common(8):
        if count < LEAST:
            break
        for first, last in _best(events, interval, used):
            inside = range(first, last + 1)
            moved = [n for n in inside if events[n].interval == interval and n not in used]
            used.update(moved)
            raws = [raw for n in moved if (raw := events[n].raw) is not None]
            steps = Counter(raw.steps for raw in raws).most_common(1)[0][0]
            stayed = tuple(events[n] for n in inside if not events[n].interval and events[n].raw is None)
            found.append(Passage(interval, steps, tuple(raws), stayed, tuple(raw for raw in raws if raw.steps != steps)))
    return found


def _best(events: Sequence[Event], interval: int, used: set[int]) -> list[tuple[int, int]]:
    """The stretches that are worth more told as one: each costs as much as a passage does, by dynamic programming."""
    outside, inside = 0.0, float("-inf")
    begun: list[tuple[int, int]] = []
    choice_out: list[bool] = []  # whether to be outside before this event one came from inside
    choice_in: list[bool] = []  # whether being inside at this event began here
    for number, event in enumerate(events):
        gain = _gain(event, interval, number in used)
        begins = outside - costs.PASSAGE
        choice_out.append(inside > outside)
        outside_next = max(outside, inside)
        choice_in.append(begins >= inside)
        inside = max(begins, inside) + gain
        outside = outside_next
    state_inside = inside > outside
    end = -1
    for number in range(len(events) - 1, -1, -1):
        if state_inside:
            if end < 0:
                end = number
            if choice_in[number]:
                begun.append((number, end))
                state_inside, end = False, -1
        elif choice_out[number]:
            state_inside, end = True, -1
    begun.reverse()
    return [pair for pair in (_trimmed(events, interval, used, *one) for one in begun) if pair is not None]


def _gain(event: Event, interval: int, used: bool) -> float:
    if event.interval == interval and not used:
        return 1.0
    if event.interval == 0 and event.raw is None:
        return -STAYED * event.count
    return -OTHERWISE


def _trimmed(events: Sequence[Event], interval: int, used: set[int], first: int, last: int) -> tuple[int, int] | None:
    own = [n for n in range(first, last + 1) if events[n].interval == interval and n not in used]
    return (own[0], own[-1]) if len(own) >= LEAST else None
