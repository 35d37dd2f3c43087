"""Strokes asked for while a roll keeps both sticks busy."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Mallets
from xmlcheck_struck.striking import chord_of, rolled


@rule
def roll_and_stroke(chair: Chair, mallets: Mallets) -> Hits:
    """One hit for each note struck inside a roll, on instruments played with two sticks. Notes rolled together are one roll."""
    limit = mallets.at_once
    if limit.value > 2 or chair.players not in (None, 1):
        return
    for sonority in chair.sonorities:
        rolls = [tone for tone in sonority.tones if any(map(rolled, chord_of(tone, sonority.tones)))]
        struck = [tone for tone in sonority.struck if tone not in rolls]
        if rolls and struck and all(tone.sounding.cents != roll.sounding.cents for tone in struck for roll in rolls):
            yield Hit(at=tuple(struck), rests_on=(limit,))
