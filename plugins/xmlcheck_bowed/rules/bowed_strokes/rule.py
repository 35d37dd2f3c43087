"""Separate strokes in more of a hurry than arms are known for."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_bowed.facets import Bowing
from xmlcheck_strings.derived import Stroke
from xmlcheck_strings.runs import FEWEST, MARGIN, runs, strokes


@rule
def too_fast(chair: Chair, bowing: Bowing, touch: Stroke, fewest_strokes: int = FEWEST) -> Hits:
    """One hit for each run of separate strokes above the published limit, of one repeated note above that of a tremolo. Slurs and
    tremolo signs are no separate strokes."""
    limit = bowing.strokes_limit
    if limit is None:
        return
    for line in chair.lines:
        separate = [tone for tone in strokes(line) if touch.bowed(tone.onset, tone.staff)]
        for run in runs(chair, separate, limit.value, fewest_strokes):
            most = bowing.tremolo_limit if run.repeats and bowing.tremolo_limit is not None else limit
            if run.rate <= most.value * MARGIN:
                continue
            values = {
                "count_notes": len(run.tones),
                "rate": round(run.rate, 1),
                "seconds": round(run.seconds, 1),
                "limit": f"{most.value:g}",
            }
            yield Hit(at=run.tones, values=values, rests_on=(most,))
