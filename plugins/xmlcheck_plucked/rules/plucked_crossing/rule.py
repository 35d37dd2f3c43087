"""Quick alternation between strings that are no neighbours, with a plectrum."""

from xmlcheck.plugin import Chair, Hits, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_strings.crossing import crossings
from xmlcheck_strings.derived import Heights, Stroke, Strokes
from xmlcheck_strings.runs import FEWEST
from xmlcheck_strings.stringing import Stringing


@rule
def crossing(
    chair: Chair,
    plucking: Plucking,
    strokes: Strokes,
    touch: Stroke,
    stringing: Stringing,
    height: Heights,
    fewest_notes: int = FEWEST,
) -> Hits:
    """One hit for each run of notes above the comfortable rate of crossings in which every step leaps over a string. Fingers, which
    each have a string of their own, are not looked at."""
    rate = plucking.crossing_comfortable
    if rate is None or plucking.tool.value != "plectrum" or touch.bow is not None:
        return
    for line in strokes.lines:
        plucked = [tone for tone in line if not tone.harmonic]
        yield from crossings(chair, plucked, rate, stringing, height, fewest_notes)
