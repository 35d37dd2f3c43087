"""Runs that ask the pressing hand to move faster than it can."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pressing
from xmlcheck_zither.uses import Use
from xmlcheck_zither.zithers import Take, TuningPlan


@rule
def too_fast(chair: Chair, plan: TuningPlan, pressing: Pressing) -> Hits:
    """One hit for each pressed tone that follows another one, on another string or pressed otherwise, too soon."""
    if pressing.seconds is None:
        return
    limit = pressing.seconds.value
    last: tuple[Use, Take] | None = None
    better = "A tuning that has more of these notes open can be agreed. " if plan.effort > plan.bound else ""
    for span in plan.spans:
        for struck in span.struck:
            for use in struck.uses:
                take = plan.takes.get(use.number)
                if take is None or not take.pressed:
                    continue
                if last is not None and use.turn == 1:
                    gap = use.start - last[0].start
                    other = (take.string, take.cents) != (last[1].string, last[1].cents)
                    if other and 0.01 < gap < limit - 0.005:
                        strings = dict.fromkeys(plan.names.string(item.string) for item in (last[1], take))
                        values = {
                            "before": last[0].tone.sounding,
                            "after": use.tone.sounding,
                            "strings": ("string " if len(strings) == 1 else "strings ") + " and ".join(strings),
                            "gap": f"{gap:.2f}",
                            "limit": f"{limit:g}",
                            "better": better,
                        }
                        yield Hit(at=(use.tone,), values=values, rests_on=(pressing.seconds,))
                last = use, take
