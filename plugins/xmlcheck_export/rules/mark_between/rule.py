"""Technique words and dynamics that stand where no note begins and no beat is."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator

from xmlcheck.plugin import Direction, Hit, Hits, Part, ScoreFacts, rule
from xmlcheck_export.grid import denominator
from xmlcheck_export.values import HAIR

BEATS = (1, 2, 3, 4, 6, 8)
"""Denominators of a quarter note at which a mark in a long note is bound to a beat."""


@rule
def mark_between(score: ScoreFacts, longest: int = 40, most: int = 3) -> Hits:
    """One hit for each mark more than a hair away from every onset of its part, and off the 32nds and triplets of the bar.

    More than `most` in a score are a habit of whoever wrote it: then one hit, at the first, that counts them.
    """
    found = [
        (part, direction, text)
        for part in score.score.parts
        for direction in part.directions
        if (text := _text(direction)) and len(text) <= longest
    ]
    loose = [(part, direction, text) for part, direction, text in found if _loose(part, direction, score.score.resolution)]
    if len(loose) > most:
        part, direction, text = loose[0]
        yield Hit(at=(direction,), values={"text": text, "others": len(loose) - 1}, part=part.id)
        return
    for part, direction, text in loose:
        yield Hit(at=(direction,), values={"text": text, "others": None}, part=part.id)


def _loose(part: Part, direction: Direction, resolution: int) -> bool:
    position = direction.onset - part.measures[direction.measure].onset
    if denominator(position, resolution) in BEATS:
        return False
    return all(abs(tick - direction.onset) > HAIR * resolution for tick in _around(part, direction.onset))


def _around(part: Part, tick: int) -> Iterator[int]:
    """The onsets next to a tick, of notes and rests, and the ends of the notes before it."""
    index = bisect_left(part.notes, tick, key=lambda note: note.onset)
    for note in part.notes[max(0, index - 4) : index + 1]:
        yield note.onset
        yield note.end
    index = bisect_left(part.rests, tick, key=lambda rest: rest.onset)
    for rest in part.rests[max(0, index - 2) : index + 1]:
        yield rest.onset


def _text(direction: Direction) -> str:
    """The dynamic or the words; empty for everything else."""
    if direction.words:
        return direction.words
    return next((mark.value for mark in direction.marks if mark.name == "dynamics"), "")
