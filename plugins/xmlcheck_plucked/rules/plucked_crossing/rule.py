"""Quick alternation between strings that are no neighbours, with a plectrum."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_strings.crossing import leaping
from xmlcheck_strings.derived import Heights, Stroke
from xmlcheck_strings.runs import FEWEST, strokes
from xmlcheck_strings.stringing import Stringing


@rule
def crossing(
    chair: Chair, plucking: Plucking, touch: Stroke, stringing: Stringing, height: Heights, fewest_notes: int = FEWEST
) -> Hits:
    """One hit for each run of notes above the comfortable rate of crossings in which every step leaps over a string. Fingers, which
    each have a string of their own, are not looked at."""
    rate = plucking.crossing_comfortable
    if rate is None or plucking.tool.value != "plectrum" or touch.bow is not None:
        return
    for line in chair.lines:
        plucked = [tone for tone in strokes(line) if not tone.harmonic]
        for run in leaping(chair, plucked, rate.value, stringing, height, fewest_notes):
            values = {
                "count_notes": len(run.tones),
                "rate": round(run.rate, 1),
                "before": run.tones[0].sounding,
                "after": run.tones[1].sounding,
            }
            yield Hit(at=run.tones, values=values, rests_on=(rate,))
