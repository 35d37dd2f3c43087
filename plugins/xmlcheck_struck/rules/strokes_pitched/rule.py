"""Strokes of an instrument without pitch, written as pitches."""

from math import inf

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Strokes


@rule
def pitched(chair: Chair, strokes: Strokes) -> Hits:
    """One hit for a part in which notes of different pitches stand for strokes. One pitch throughout is a line like any other."""
    means = strokes.pitched
    if means is None or means.value:
        return
    percussion = min((clef.onset for clef in chair.part.clefs if clef.sign == "percussion"), default=inf)
    tones = [tone for tone in chair.tones if tone.onset < percussion]
    different = {tone.written.cents for tone in tones}
    if len(different) > 1:
        values = {"count_notes": len(tones), "different": len(different)}
        yield Hit(at=tuple(tones[:1]), values=values, rests_on=(means,))
