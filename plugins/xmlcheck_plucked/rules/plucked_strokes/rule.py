"""Plucked notes in more of a hurry than hands are known for."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_strings.derived import Stroke
from xmlcheck_strings.runs import FEWEST, MARGIN, runs, strokes


@rule
def too_fast(chair: Chair, plucking: Plucking, touch: Stroke, fewest_strokes: int = FEWEST) -> Hits:
    """One hit for each run of strokes above the limit. Notes slurred, hammered or pulled by the left hand take none, and a tremolo
    sign is no count of strokes. Bowed instruments are looked at where they are plucked."""
    limit = plucking.repeated_limit
    if limit is None:
        return
    for line in chair.lines:
        plucked = [tone for tone in strokes(line) if not touch.bowed(tone.onset, tone.staff)]
        for run in runs(chair, plucked, limit.value, fewest_strokes):
            most = plucking.tremolo_limit if run.repeats and plucking.tremolo_limit is not None else limit
            if run.rate <= most.value * MARGIN:
                continue
            values = {
                "count_notes": len(run.tones),
                "rate": round(run.rate, 1),
                "seconds": round(run.seconds, 1),
                "limit": f"{most.value:g}",
            }
            yield Hit(at=run.tones, values=values, rests_on=(most,))
