"""Crescendos under one struck chord."""

from xmlcheck.plugin import Chair, Hit, Hits, growing_hairpins, rule
from xmlcheck_keyboard.facets import Bellows, Keyboard
from xmlcheck_keyboard.struck import ROLLED


@rule
def swell(chair: Chair, keyboard: Keyboard, bellows: Bellows | None, shortest_seconds: float = 1.0) -> Hits:
    """One hit for each growing hairpin that begins and ends under one moment of striking. Bellows can grow on held keys."""
    pedal = keyboard.sustain
    if bellows is not None or pedal is None or not pedal.value:
        return
    for start, end in growing_hairpins(chair.directions):
        under = chair.under(start.onset, end)
        if len({tone.onset for tone in under}) != 1 or any(tone.has(*ROLLED) for tone in under):
            continue
        seconds = chair.seconds(under[0].onset, max(tone.end for tone in under))
        if seconds >= shortest_seconds:
            yield Hit(at=under, values={"seconds": round(seconds, 1)}, rests_on=(pedal,))
