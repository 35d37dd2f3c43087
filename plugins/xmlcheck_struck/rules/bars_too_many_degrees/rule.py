"""More different notes than an instrument of fixed tuning has in an octave."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Bars

NEAR = 40
"""Cents within which two notes are one degree, tuned by the ear of one maker (ours)."""


@rule
def too_many_degrees(chair: Chair, bars: Bars) -> Hits:
    """One hit for a part whose notes, octaves aside, are more than the octave has bars."""
    names: dict[int, str] = {}
    for tone in chair.tones:
        place = tone.sounding.cents % 1200
        if not any(min((place - other) % 1200, (other - place) % 1200) <= NEAR for other in names):
            names[place] = tone.sounding.name.rstrip("-0123456789c+")
    if len(names) > bars.degrees.value:
        letters = [names[place] for place in sorted(names)]
        values = {"used": len(names), "degrees": bars.degrees.value, "letters": letters}
        yield Hit(values=values, rests_on=(bars.degrees,))
