"""Quick alternation between strings that are no neighbours."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_bowed.facets import Bowing
from xmlcheck_strings.crossing import leaping
from xmlcheck_strings.derived import Heights, Stroke
from xmlcheck_strings.runs import FEWEST, strokes
from xmlcheck_strings.stringing import Stringing


@rule
def crossing(
    chair: Chair, bowing: Bowing, touch: Stroke, stringing: Stringing, height: Heights, fewest_notes: int = FEWEST
) -> Hits:
    """One hit for each run of notes above the comfortable rate of crossings in which every step leaps over a string."""
    rate = bowing.crossing_comfortable
    if rate is None:
        return
    for line in chair.lines:
        bowed = [tone for tone in strokes(line) if not tone.harmonic and touch.bowed(tone.onset, tone.staff)]
        for run in leaping(chair, bowed, rate.value, stringing, height, fewest_notes):
            values = {
                "count_notes": len(run.tones),
                "rate": round(run.rate, 1),
                "before": run.tones[0].sounding,
                "after": run.tones[1].sounding,
            }
            yield Hit(at=run.tones, values=values, rests_on=(rate,))
