"""Separate strokes in more of a hurry than arms are known for."""

from xmlcheck.plugin import Chair, Hits, rule
from xmlcheck_bowed.facets import Bowing
from xmlcheck_strings.derived import Stroke, Strokes
from xmlcheck_strings.runs import FEWEST, hurried


@rule
def too_fast(chair: Chair, bowing: Bowing, strokes: Strokes, touch: Stroke, fewest_strokes: int = FEWEST) -> Hits:
    """One hit for each run of separate strokes above the published limit, of one repeated note above that of a tremolo. Slurs and
    tremolo signs are no separate strokes."""
    if bowing.strokes_limit is None:
        return
    for line in strokes.lines:
        separate = [tone for tone in line if touch.bowed(tone.onset, tone.staff)]
        yield from hurried(chair, separate, bowing.strokes_limit, bowing.tremolo_limit, fewest_strokes)
