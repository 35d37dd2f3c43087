"""One stroke of a plectrum over strings that are not to sound."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_strings.derived import Chords, Stroke
from xmlcheck_strings.facets import Strings


@rule
def plectrum_chord(chords: Chords, plucking: Plucking, strings: Strings, touch: Stroke) -> Hits:
    """One hit for each chord, not marked as rolled, whose closest fingering leaves strings out in between."""
    if plucking.tool.value != "plectrum" or touch.bow is not None:
        return
    for chord in chords.chords:
        if chord.shape is None or not chord.shape.fits or not chord.shape.gap or chord.rolled:
            continue
        gap = chord.shape.gap
        values = {"skipped": "1 string" if gap == 1 else f"{gap} strings"}
        yield Hit(at=chord.at, values=values, rests_on=(plucking.tool,))
