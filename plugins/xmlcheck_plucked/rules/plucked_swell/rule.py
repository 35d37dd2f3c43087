"""Crescendos under one plucked note."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, growing_hairpins, rule
from xmlcheck_plucked.facets import Plucking
from xmlcheck_plucked.lasting import in_force, signed
from xmlcheck_strings.derived import Stroke


@rule
def swell(
    chair: Chair, plucking: Plucking, touch: Stroke, techniques: Techniques | None, shortest_seconds: float = 0.8
) -> Hits:
    """One hit for each growing hairpin that begins and ends under one note, which is struck once and sounds alone."""
    if touch.bow is not None:
        return
    ids = plucking.sustains.value if plucking.sustains is not None else ()
    marks = tuple(mark for item in (techniques.has if techniques else ()) if item.id in ids for mark in item.marks)
    lasting = in_force(chair, techniques, ids)
    used = (plucking.decay_seconds,) if plucking.decay_seconds is not None else (plucking.tool,)
    for start, end in growing_hairpins(chair.directions):
        under = chair.under(start.onset, end)
        struck = {tone.onset for tone in under}
        if len(struck) != 1 or any(signed(tone, marks) for tone in under) or lasting(start.onset):
            continue
        seconds = chair.seconds(under[0].onset, max(tone.end for tone in under))
        if seconds >= shortest_seconds:
            yield Hit(at=(under[0],), values={"seconds": round(seconds, 1)}, rests_on=used)
