"""Notes outside a chanter's fixed scale."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs
from xmlcheck_reed.facets import Drones


@rule
def pitch(chair: Chair, drones: Drones, read: ReadAs, tolerance_cents: int = 60) -> Hits:
    """One hit for each tone that is no note of the chanter, nor of a drone. What is outside the compass is left to those rules."""
    if drones.pitches is None:
        return
    known = [item.cents for item in drones.pitches.value]
    also = [pipe.pitch.cents for pipe in drones.pipes]
    shown = ", ".join(item.name for item in drones.pitches.value)
    for tone in chair.tones:
        cents = read.height(tone)
        if not min(known) <= cents <= max(known) or min(abs(cents - one) for one in (*known, *also)) <= tolerance_cents:
            continue
        values = {"note": tone.sounding.name, "pitches": shown}
        yield Hit(at=(tone,), values=values, rests_on=(drones.pitches,), grade=read.cap)
