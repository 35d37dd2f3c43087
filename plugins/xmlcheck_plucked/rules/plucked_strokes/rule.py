"""Plucked notes in more of a hurry than hands are known for."""

from xmlcheck.plugin import Chair, Hits, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_strings.derived import Stroke, Strokes
from xmlcheck_strings.runs import FEWEST, hurried


@rule
def too_fast(chair: Chair, plucking: Plucking, strokes: Strokes, touch: Stroke, fewest_strokes: int = FEWEST) -> Hits:
    """One hit for each run of strokes above the limit. Notes slurred, hammered or pulled by the left hand take none, and a tremolo
    sign is no count of strokes. Bowed instruments are looked at where they are plucked."""
    if plucking.repeated_limit is None:
        return
    for line in strokes.lines:
        plucked = [tone for tone in line if not touch.bowed(tone.onset, tone.staff)]
        yield from hurried(chair, plucked, plucking.repeated_limit, plucking.tremolo_limit, fewest_strokes)
