"""Crescendos under one struck note."""

from collections.abc import Iterator

from xmlcheck.plugin import Chair, Direction, Hit, Hits, rule
from xmlcheck_struck.facets import Ring
from xmlcheck_struck.lasting import Lasting


@rule
def swell(chair: Chair, ring: Ring, lasts: Lasting, shortest_seconds: float = 0.8) -> Hits:
    """One hit for each growing hairpin that begins and ends under one note, which is struck once and sounds alone."""
    used = ring.high_seconds or ring.low_seconds or ring.damper
    for start, end in _hairpins(chair):
        under = [tone for tone in chair.tones if tone.onset < end and tone.end > start.onset]
        if len({tone.onset for tone in under}) != 1 or any(lasts(tone, rings=False) for tone in under):
            continue
        seconds = chair.seconds(under[0].onset, max(tone.end for tone in under))
        if seconds >= shortest_seconds:
            yield Hit(at=(under[0],), values={"seconds": round(seconds, 1)}, rests_on=(used,))


def _hairpins(chair: Chair) -> Iterator[tuple[Direction, int]]:
    """Each growing hairpin and the tick at which it stops."""
    begun: dict[str, Direction] = {}
    for direction in chair.directions:
        for mark in direction.named("wedge"):
            if mark.type == "crescendo":
                begun[mark.number] = direction
            elif mark.type == "stop" and mark.number in begun:
                yield begun.pop(mark.number), direction.onset
            elif mark.type == "diminuendo":
                begun.pop(mark.number, None)
