"""Rests too short to be meant, between notes."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_export.grid import denominator
from xmlcheck_export.values import HAIR, real


@rule
def time_slivers(chair: Chair, fewest: int = 3, per_hundred: int = 10) -> Hits:
    """One hit for each rest shorter than a 32nd note with a note right before and after it in its voice, where they are many.

    A rest of a tuplet or of a grid that the next onset needs is written music.
    """
    resolution, measures = chair.facts.score.resolution, chair.part.measures
    short = [rest for rest in chair.rests if 0 < rest.duration < HAIR * resolution]
    if len(short) < fewest:
        return
    heads = [note for note in chair.notes if real(note) and not note.chord]
    ends = {(note.voice, note.staff, note.end): note for note in heads}
    starts = {(note.voice, note.staff, note.onset) for note in heads}
    found = []
    for rest in short:
        before = ends.get((rest.voice, rest.staff, rest.onset))
        if before is None or before.ratio is not None or before.has("staccato", "staccatissimo"):
            continue
        simple = denominator(rest.end - measures[rest.measure].onset, resolution) <= 4
        if simple and (rest.voice, rest.staff, rest.end) in starts:
            found.append(rest)
    if len(found) >= fewest and 100 * len(found) >= per_hundred * len(heads):
        for rest in found:
            yield Hit(at=(rest,))
