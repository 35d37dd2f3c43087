"""Chords in which the pressing hand would have to pluck too."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Picks, Pressing
from xmlcheck_zither.zithers import TuningPlan


@rule
def hands_busy(chair: Chair, plan: TuningPlan, pressing: Pressing, picks: Picks) -> Hits:
    """One hit for each chord with a pressed note whose notes the other hand alone does not pluck: too many, or too wide."""
    most, span_of = picks.right, picks.span
    for span in plan.spans:
        for struck in span.struck:
            takes = [(use, take) for use in struck.uses if (take := plan.takes.get(use.number)) is not None]
            pressed = [use for use, take in takes if take.pressed]
            strings = sorted({take.string for _, take in takes})
            if not pressed or len(strings) < 2 or struck.broken or struck.uses[0].turn > 1:
                continue
            wide = span_of is not None and strings[-1] - strings[0] + 1 > span_of.value
            if len(strings) <= most.value and not wide:
                continue
            values = {
                "pressed": pressed[0].tone.sounding,
                "asked": len(strings),
                "limit": most.value,
                "span": span_of.value if wide and span_of is not None else "",
            }
            named = (most, span_of if wide else None, pressing.hand)
            yield Hit(at=struck.tones, values=values, rests_on=tuple(value for value in named if value is not None))
