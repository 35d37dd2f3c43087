"""More strings exactly together than there are fingers to pluck them."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_plucked.lasting import in_force
from xmlcheck_strings.derived import Chords, Stroke

STRUMS = ("rasgueado", "sao-fu", "strum", "strummed", "sweep")


@rule
def too_many(chair: Chair, chords: Chords, plucking: Plucking, touch: Stroke, techniques: Techniques | None) -> Hits:
    """One hit for each chord that is neither rolled nor strummed by sign or word. A plectrum sweeps, and so does the thumb of a
    bowed instrument's pizzicato: there nothing is counted."""
    at_once = plucking.at_once
    if at_once is None or plucking.tool.value in ("plectrum", "thumb") or touch.bow is not None:
        return
    strummed = in_force(chair, techniques, STRUMS)
    for chord in chords.chords:
        if len(chord.tones) <= at_once.value or chord.rolled or strummed(chord.onset):
            continue
        swept = plucking.swept.value if plucking.swept is not None else ""
        values = {"asked": len(chord.tones), "at_once": at_once.value, "swept": swept}
        yield Hit(at=chord.at, values=values, rests_on=(at_once,))
