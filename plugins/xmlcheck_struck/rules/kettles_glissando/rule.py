"""Slides wider than one drum."""

from itertools import pairwise

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_struck.derived import Sounding
from xmlcheck_struck.facets import Kettles

LINES = ("glissando", "slide")


@rule
def glissando(chair: Chair, kettles: Kettles, height: Sounding) -> Hits:
    """One hit for each slide between two notes that no drum of the usual set has both of."""
    if chair.players not in (None, 1):
        return
    for line in chair.lines:
        for tone, following in pairwise(line):
            if not _begins(tone):
                continue
            low, high = sorted((height(tone), height(following)))
            if not any(drum.lowest.cents <= low and high <= drum.highest.cents for drum in kettles.usual):
                values = {"from_pitch": tone.sounding, "to_pitch": following.sounding}
                yield Hit(at=(tone, following), values=values, rests_on=kettles.usual)


def _begins(tone: Tone) -> bool:
    return any(mark.name in LINES and mark.type == "start" for note in tone.notes for mark in note.marks)
