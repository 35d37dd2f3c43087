"""Notes that the instrument has not got because they lie too high."""

from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule
from xmlcheck_basics.advice import Advice
from xmlcheck_basics.derived import ReadAs


@rule
def above(chair: Chair, compass: Compass, read: ReadAs, advice: Advice, tolerance_cents: int = 40) -> Hits:
    """One hit for each tone above the highest note under the kindest reading. Harmonics reach higher and are passed over."""
    high = compass.highest
    for tone in chair.tones:
        if not tone.harmonic and read.height(tone) > high.value.cents + tolerance_cents:
            yield Hit(
                at=(tone,),
                values={"highest": high.value, "tried": read.told},
                rests_on=(high,),
                grade=read.cap,
                alternatives=advice.lines,
            )
