"""Strokes written out in more of a hurry than two hands are known for."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Mallets
from xmlcheck_struck.striking import FEWEST, runs


@rule
def too_fast(chair: Chair, mallets: Mallets, fewest_strokes: int = FEWEST) -> Hits:
    """One hit for each run of strokes above the published limit of two hands, or of one where each stroke takes both."""
    if chair.players not in (None, 1):
        return
    limits = {2: mallets.both_hands, 1: mallets.one_hand}
    rates = {hands: limit.value for hands, limit in limits.items() if limit is not None}
    for run in runs(chair, rates, fewest_strokes):
        limit = limits[2 if run.hands == 1 else 1]
        if limit is None:
            continue
        values = {
            "count_notes": len(run.tones),
            "rate": round(run.rate, 1),
            "seconds": round(run.seconds, 1),
            "limit": f"{limit.value:g}",
            "hands": "two hands" if run.hands == 1 else "one hand",
        }
        yield Hit(at=run.tones, values=values, rests_on=(limit,))
