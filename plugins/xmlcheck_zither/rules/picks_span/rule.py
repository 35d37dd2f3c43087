"""Chords that the two hands cannot share out within their span."""

from collections.abc import Sequence

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Picks
from xmlcheck_zither.uses import Played, Struck
from xmlcheck_zither.zithers import TuningPlan


@rule
def span(chair: Chair, uses: Played, picks: Picks, plan: TuningPlan | None) -> Hits:
    """One hit for each struck chord that no sharing between left and right hand brings within one span each."""
    by_string = picks.span is not None and plan is not None and bool(plan.spans)
    limit = picks.span if by_string else picks.span_semitones
    if limit is None:
        return
    right, left = picks.right.value, picks.left.value if picks.left is not None else 0
    most = limit.value - 1 if by_string else limit.value * 100
    for struck in uses.struck:
        places = _strings(plan, struck) if by_string and plan is not None else [use.cents for use in struck.uses]
        places = sorted(set(places))
        if not 2 <= len(places) <= right + left or struck.broken or struck.uses[0].turn > 1:
            continue
        widest = _narrowest(places, left, right)
        if widest > most:
            values = {
                "names": " ".join(use.tone.sounding.name for use in struck.uses),
                "wide": f"{widest + 1} strings" if by_string else f"{widest / 100:g} semitones",
                "span": f"{limit.value} strings" if by_string else f"{limit.value:g} semitones",
            }
            yield Hit(at=struck.tones, values=values, rests_on=(limit,))


def _strings(plan: TuningPlan, struck: Struck) -> list[int]:
    """The strings of a chord; none where one of its notes is pressed or has no string, which is another rule's matter."""
    takes = [plan.takes.get(use.number) for use in struck.uses]
    return [] if any(take is None or take.pressed for take in takes) else [take.string for take in takes if take is not None]


def _narrowest(places: Sequence[int], left: int, right: int) -> int:
    """The wider of the two hands where the chord is shared out best: the lower notes for one, the upper for the other."""
    best = 10**9
    for cut in range(len(places) + 1):
        low, high = places[:cut], places[cut:]
        if not ((len(low) <= left and len(high) <= right) or (len(low) <= right and len(high) <= left)):
            continue
        best = min(best, max((part[-1] - part[0] for part in (low, high) if part), default=0))
    return best
