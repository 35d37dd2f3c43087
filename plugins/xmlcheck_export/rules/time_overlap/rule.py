"""Overlaps of a hair in a line of single notes."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_export.values import HAIR


@rule
def time_overlap(chair: Chair, fewest: int = 3, most_chords: float = 0.02) -> Hits:
    """One hit for each sonority of two or more notes that is shorter than a 32nd note, where the line is otherwise single.

    `most_chords`: share of longer sonorities of several notes that a single line may have.
    """
    hair = HAIR * chair.facts.score.resolution
    several = [item for item in chair.sonorities if item.pitches > 1]
    short = [item for item in several if item.end - item.onset < hair and len(item.tones) > len(item.struck)]
    longer = len(several) - len(short)
    if len(short) < fewest or longer > most_chords * len(chair.sonorities):
        return
    for item in short:
        yield Hit(at=(item,))
