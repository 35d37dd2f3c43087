"""Notes whose printed value and length in time are two different things."""

from __future__ import annotations

from fractions import Fraction

from xmlcheck.plugin import Chair, Hit, Hits, Note, rule
from xmlcheck_export.values import ROUNDED, agrees, real, told, worth


@rule
def time_value_differs(chair: Chair) -> Hits:
    """One hit for each note whose length differs from its value, dots and ratio by more than rounding; chords once."""
    resolution, measures = chair.facts.score.resolution, chair.part.measures
    for note in chair.notes:
        if agrees(note, resolution) or not real(note) or note.chord or not note.duration or _tremolo(note):
            continue
        value = worth(note) or Fraction(0)
        length = Fraction(note.duration, resolution)
        fills = note.type == "whole" and note.duration == measures[note.measure].length
        if abs(length - value) >= ROUNDED and not fills:
            yield Hit(at=(note,), values={"printed": told(value), "lasting": told(length)})


def _tremolo(note: Note) -> bool:
    return any(mark.name == "tremolo" and mark.type in ("start", "stop") for mark in note.marks)
