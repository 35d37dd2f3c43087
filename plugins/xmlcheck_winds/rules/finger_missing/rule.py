"""Gaps inside the compass."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs
from xmlcheck_winds.derived import Fingers
from xmlcheck_winds.facets import Fingering


@rule
def missing(chair: Chair, fingering: Fingering, read: ReadAs, fingers: Fingers) -> Hits:
    """One hit for each tone whose fingering class is "none". A quarter-tone beside the gap is reached from its neighbour."""
    for tone in chair.tones:
        made = fingers.of(tone)
        if made.name != "none" or made.row is None or tone.harmonic == "open" or abs(tone.sounding.cents % 100 - 50) < 30:
            continue
        size = fingers.size(tone)
        named = fingers.choice is None or bool(fingers.choice.named)
        values = {"note": tone.sounding.name, "title": size.title if size is not None else None}
        yield Hit(at=(tone,), values=values, rests_on=(made.row,), grade=read.cap if named else Grade.QUERY)
