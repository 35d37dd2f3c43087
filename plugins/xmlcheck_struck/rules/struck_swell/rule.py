"""Crescendos under one struck note."""

from xmlcheck.plugin import Chair, Hit, Hits, growing_hairpins, rule
from xmlcheck_struck.facets import Ring
from xmlcheck_struck.lasting import Lasting


@rule
def swell(chair: Chair, ring: Ring, lasts: Lasting, shortest_seconds: float = 0.8) -> Hits:
    """One hit for each growing hairpin that begins and ends under one note, which is struck once and sounds alone."""
    used = ring.high_seconds or ring.low_seconds or ring.damper
    for start, end in growing_hairpins(chair.directions):
        under = chair.under(start.onset, end)
        if len({tone.onset for tone in under}) != 1 or any(lasts(tone, rings=False) for tone in under):
            continue
        seconds = chair.seconds(under[0].onset, max(tone.end for tone in under))
        if seconds >= shortest_seconds:
            yield Hit(at=(under[0],), values={"seconds": round(seconds, 1)}, rests_on=(used,))
