"""Notes that only an unusually deep press gives."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pressing
from xmlcheck_zither.zithers import TuningPlan


@rule
def too_high(chair: Chair, plan: TuningPlan, pressing: Pressing) -> Hits:
    """One hit for each tone pressed beyond what is asked for, on a string that is not pressed, or made by pulling a string down."""
    usual = pressing.up.value
    limits = tuple(value for value in (pressing.up, pressing.limit) if value is not None)
    lowest = pressing.lowest.value - 1 if pressing.lowest is not None else 0
    highest = pressing.highest.value - 1 if pressing.highest is not None else 10**6
    for span in plan.spans:
        for struck in span.struck:
            for use in struck.uses:
                take = plan.takes.get(use.number)
                if take is None or use.turn > 1 or not take.pressed:
                    continue
                beside = not lowest <= take.string <= highest
                if take.cents < 0 or take.cents > usual * 100 + plan.reach.tolerance or beside:
                    values = {
                        "string": plan.names.string(take.string),
                        "open": plan.names.pitch(span.tuning[take.string]),
                        "way": "pulled down" if take.cents < 0 else "pressed",
                        "far": _far(take.cents),
                        "usual": f"{usual:g}",
                        "limit": f"{pressing.limit.value:g}" if pressing.limit is not None else "",
                    }
                    ends = tuple(value for value in (pressing.lowest, pressing.highest) if beside and value is not None)
                    rests = (pressing.down,) if take.cents < 0 and pressing.down is not None else (*limits, *ends)
                    yield Hit(at=(use.tone,), values=values, rests_on=rests, group=str(values["way"]))


def _far(cents: int) -> str:
    """`1 semitone`, `2.5 semitones`."""
    return f"{abs(cents) / 100:g} semitone{'' if abs(cents) == 100 else 's'}"
