"""Notes that the instrument has not got because they lie too low."""

from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule
from xmlcheck_basics.advice import Advice
from xmlcheck_basics.derived import ReadAs, lowest


@rule
def below(chair: Chair, compass: Compass, read: ReadAs, advice: Advice, tolerance_cents: int = 40) -> Hits:
    """One hit for each tone below the lowest note under the kindest reading. Harmonics of unstated pitch are passed over."""
    low = lowest(chair, compass)
    for tone in chair.tones:
        if tone.harmonic != "open" and read.height(tone) < low.value.cents - tolerance_cents:
            yield Hit(
                at=(tone,),
                values={"lowest": low.value, "tried": read.told},
                rests_on=(compass.lowest,),
                grade=read.cap,
                alternatives=advice.lines,
            )
