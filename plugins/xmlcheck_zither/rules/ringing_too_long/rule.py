"""Notes written longer than the string is heard."""

import re

from xmlcheck.plugin import Certainty, Chair, Hit, Hits, Techniques, rule
from xmlcheck_zither.facets import Ringing
from xmlcheck_zither.uses import Played


@rule
def too_long(chair: Chair, uses: Played, ringing: Ringing, techniques: Techniques | None) -> Hits:
    """One hit for each tone beyond a documented decay that is not played as a tremolo."""
    decay = ringing.decay_seconds
    if decay is None or decay.certainty.rank < Certainty.PLAYER.rank:
        return
    ids = ringing.sustains.value if ringing.sustains is not None else ()
    known = [re.split("[:,]", item.title)[0] for item in techniques.has if item.id in ids] if techniques is not None else []
    for use in uses.uses:
        length = use.end - use.start
        if use.turn == 1 and length > decay.value + 0.05 and not use.held_busy:
            values = {"seconds": f"{length:.1f}", "decay": f"{decay.value:g}", "sustains": known[0] if known else ""}
            yield Hit(at=(use.tone,), values=values, rests_on=(decay,))
