"""Notes struck together for which the set has no different drums."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Kettles
from xmlcheck_struck.tuning import Tuning


@rule
def one_drum(chair: Chair, kettles: Kettles, tuning: Tuning) -> Hits:
    """One hit for each moment at which the notes cannot be shared out among the drums of the usual set."""
    if chair.players not in (None, 1):
        return
    for tones in tuning.crowded:
        told = ", ".join(tone.sounding.name for tone in tones)
        yield Hit(at=tones, values={"told": told}, rests_on=kettles.usual)
