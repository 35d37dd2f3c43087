"""Chords: which strings and stops give all notes at once, and what the hand has to do for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from xmlcheck_strings.board import Board, Stop

NECK = 9
"""Stops above this lie near the body; a lower fingering comes first where there is one (ours)."""
SAME_PLACE = 0.3
"""Semitones within which two stops are one place for a lying finger (ours)."""
MOST_NOTES = 12
"""Chords of more notes are not looked into: no instrument has the strings (ours)."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One way to play a chord: a stop for each pitch, in rising order of strings.

    span_mm: between the outer stopped places. fingers: stopped notes, those under one lying finger counted once. gap: strings
    left out in between. wide, many: what goes beyond the widest stretch (mm) and beyond the fingers. shift: beyond easy reach.
    """

    stops: tuple[Stop, ...]
    span_mm: float
    fingers: int
    gap: int
    wide: float
    many: int
    beyond: float

    @property
    def fits(self) -> bool:
        return not self.wide and not self.many


def shapes(board: Board, pitches: Sequence[int], neighbours: bool = False) -> Iterator[Shape]:
    """Every way to give each pitch (cents, different) a string of its own. neighbours: only strings side by side."""
    if not 0 < len(pitches) <= min(MOST_NOTES, len(board.open)):
        return
    ways = sorted((board.stops(pitch) for pitch in pitches), key=len)
    for stops in _distinct(ways, 0, ()):
        ordered = tuple(sorted(stops, key=lambda stop: stop.string))
        gap = ordered[-1].string - ordered[0].string + 1 - len(ordered)
        if not neighbours or not gap:
            yield _shape(board, ordered, gap)


def best(board: Board, pitches: Sequence[int], neighbours: bool = False) -> Shape | None:
    """The way that asks least: within stretch and fingers, then within reach, on the neck, side by side, narrow. None: no way."""
    return min(shapes(board, pitches, neighbours), key=_cost, default=None)


def shared(board: Board, pitches: Sequence[int]) -> tuple[int, ...]:
    """The fewest pitches of a chord that have fewer strings between them than they are; empty where each has its own."""
    sets = [(pitch, {stop.string for stop in board.stops(pitch)}) for pitch in sorted(pitches)]
    for size in range(2, len(sets) + 1):
        for start in range(len(sets) - size + 1):
            group = sets[start : start + size]
            if len(set().union(*(strings for _, strings in group))) < size:
                return tuple(pitch for pitch, _ in group)
    return tuple(sorted(pitches)) if len(pitches) > len(board.open) else ()


def _cost(shape: Shape) -> tuple[float, ...]:
    above = sum(stop.stop > NECK for stop in shape.stops)
    return shape.wide, shape.many, shape.beyond, above, shape.gap, shape.span_mm, shape.fingers


def _distinct(ways: list[tuple[Stop, ...]], index: int, used: tuple[Stop, ...]) -> Iterator[tuple[Stop, ...]]:
    if index == len(ways):
        yield used
        return
    taken = {stop.string for stop in used}
    for stop in ways[index]:
        if stop.string not in taken:
            yield from _distinct(ways, index + 1, (*used, stop))


def _shape(board: Board, stops: tuple[Stop, ...], gap: int) -> Shape:
    held = [stop.stop for stop in stops if stop.stop]
    span_mm = board.x(max(held)) - board.x(min(held)) if held else 0.0
    fingers, grip = fingers_for(stops, board.neck.grip.barre if board.neck.grip else False), board.neck.grip
    if grip is None:
        return Shape(stops, span_mm, fingers, gap, 0.0, 0, 0.0)
    wide = max(0.0, span_mm - grip.stretch_mm) if span_mm > grip.stretch_mm + 0.5 else 0.0
    thumb = grip.thumb_from is not None and bool(held) and min(held) >= grip.thumb_from
    return Shape(stops, span_mm, fingers, gap, wide, max(0, fingers - grip.fingers - thumb), max(0.0, span_mm - grip.reach_mm))


def fingers_for(stops: Sequence[Stop], barre: bool) -> int:
    """Fingers that a chord takes. A lying finger (`barre`) stops one place on several strings, as long as the strings of the chord
    that it crosses are stopped there or higher: lower stops and open strings under it would be silenced."""
    held = [stop for stop in stops if stop.stop]
    if not barre:
        return len(held)
    count = len(held)
    for index, stop in enumerate(held):
        for other in held[index + 1 :]:
            if abs(other.stop - stop.stop) < SAME_PLACE:
                crossed = (item for item in stops if stop.string < item.string < other.string)
                count -= all(item.stop > stop.stop - SAME_PLACE for item in crossed)
                break
    return count
