"""Levers that have to move while the hand plays, or faster than it can."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Levers
from xmlcheck_zither.harps import LeverPlan
from xmlcheck_zither.plans import position_name


@rule
def no_time(chair: Chair, plan: LeverPlan, levers: Levers) -> Hits:
    """One hit for each change, as the part is spelled, for which no free moment of the hand was found."""
    if levers.seconds is None:
        return
    free = {change.deadline for change, _ in plan.free.late_changes()}
    for change, _ in plan.reading.late_changes():
        chord = plan.chords[change.chord]
        if chord.uses[0].turn > 1:
            continue
        window = change.deadline - change.release
        short = window < levers.seconds.value
        values = {
            "string": plan.tuning.pitches[change.item].name,
            "before": position_name(plan, change.item, change.before),
            "after": position_name(plan, change.item, change.after),
            "window": f"{window:.2f}",
            "reason": f"a lever takes about {levers.seconds.value:g} s"
            if short
            else f"the {levers.hand.value} hand plays there",
            "better": "Another string has the same pitch here and needs no lever." if change.deadline not in free else "",
        }
        yield Hit(at=chord.tones, values=values, rests_on=(levers.hand, levers.seconds))
