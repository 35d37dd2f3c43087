"""Hairpins that open on a note already struck."""

import re
from collections.abc import Iterator

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, Wording, covering, rule, spans, within
from xmlcheck_zither.facets import Ringing

SUSTAINED = ("tremolo", "trill-mark", "wavy-line")


@rule
def swell(chair: Chair, ringing: Ringing, techniques: Techniques | None) -> Hits:
    """One hit for each crescendo during which something is held and nothing new is struck, unless it is played as a tremolo."""
    ids = ringing.sustains.value if ringing.sustains is not None else ()
    known = [item for item in techniques.has if item.id in ids] if techniques is not None else []
    lasting = covering(spans(chair.directions, [Wording(item.id, item.words, item.cancels, True) for item in known]))
    for start, end in _crescendi(chair):
        held = [tone for tone in chair.under(start, start + 1) if tone.end >= end]
        struck = within(chair.tones, start + 1, end)
        if not held or struck or any(tone.has(*SUSTAINED) for tone in held):
            continue
        if lasting(start, None):
            continue
        values = {"sustains": re.split("[:,]", known[0].title)[0] if known else ""}
        rests = (ringing.sustains,) if ringing.sustains is not None else ()
        yield Hit(at=tuple(held), values=values, rests_on=rests)


def _crescendi(chair: Chair) -> Iterator[tuple[int, int]]:
    """(start, end) of each opening hairpin, in ticks."""
    running: dict[str, int] = {}
    for direction in chair.directions:
        for mark in direction.named("wedge"):
            if mark.type == "crescendo":
                running[mark.number] = direction.onset
            elif mark.type in ("stop", "diminuendo") and mark.number in running:
                start = running.pop(mark.number)
                if direction.onset > start:
                    yield start, direction.onset
