"""Quick alternation between strings that are no neighbours."""

from xmlcheck.plugin import Chair, Hits, rule
from xmlcheck_bowed.facets import Bowing
from xmlcheck_strings.crossing import crossings
from xmlcheck_strings.derived import Heights, Stroke, Strokes
from xmlcheck_strings.runs import FEWEST
from xmlcheck_strings.stringing import Stringing


@rule
def crossing(
    chair: Chair,
    bowing: Bowing,
    strokes: Strokes,
    touch: Stroke,
    stringing: Stringing,
    height: Heights,
    fewest_notes: int = FEWEST,
) -> Hits:
    """One hit for each run of bowed notes above the comfortable rate of crossings in which every step leaps over a string."""
    rate = bowing.crossing_comfortable
    if rate is None:
        return
    for line in strokes.lines:
        bowed = [tone for tone in line if not tone.harmonic and touch.bowed(tone.onset, tone.staff)]
        yield from crossings(chair, bowed, rate, stringing, height, fewest_notes)
