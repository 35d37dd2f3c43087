"""Chords with more pressed notes than one hand can press."""

from collections.abc import Sequence

from xmlcheck.plugin import Chair, Cited, Hit, Hits, rule
from xmlcheck_zither.facets import Pressing
from xmlcheck_zither.planning.matching import sharings
from xmlcheck_zither.uses import Struck
from xmlcheck_zither.zithers import Span, TuningPlan


@rule
def too_many(chair: Chair, plan: TuningPlan, pressing: Pressing) -> Hits:
    """One hit for each chord with too many pressed strings, or with pressed strings that do not lie side by side."""
    if pressing.at_once is None:
        return
    most = pressing.at_once.value
    beside = pressing.neighbours
    for span in plan.spans:
        for struck in span.struck:
            held = [(use, take) for use in struck.uses if (take := plan.takes.get(use.number)) is not None and take.pressed]
            strings = sorted({take.string for _, take in held})
            if len(strings) < 2 or struck.broken or struck.uses[0].turn > 1:
                continue
            if _fits(strings, most, beside) or _otherwise(plan, span, struck, most, beside):
                continue
            apart = len(strings) <= most
            values = {
                "count": len(strings),
                "names": " ".join(use.tone.sounding.name for use, _ in held),
                "strings": plan.names.strings_text(strings),
                "rule": "a hand presses neighbours only" if apart else f"a hand presses {most} at once",
            }
            rests = (pressing.at_once, beside) if apart and beside is not None else (pressing.at_once,)
            yield Hit(at=struck.tones, values=values, rests_on=rests)


def _fits(strings: Sequence[int], most: int, beside: Cited[bool] | None) -> bool:
    """Whether one hand presses these strings together."""
    if len(strings) > most:
        return False
    return beside is None or not beside.value or len(strings) < 2 or strings[-1] - strings[0] < len(strings)


def _otherwise(plan: TuningPlan, span: Span, struck: Struck, most: int, beside: Cited[bool] | None) -> bool:
    """Whether the chord can be shared out among the strings in a way that one hand presses."""
    pitches = list(dict.fromkeys(use.cents for use in struck.uses))
    tuning = [span.tuning[index] for index in range(len(span.tuning))]
    for way in sharings(pitches, tuning, plan.reach):
        pressed = sorted(s for s, pitch in zip(way, pitches, strict=True) if abs(pitch - tuning[s]) > plan.reach.tolerance)
        if _fits(pressed, most, beside):
            return True
    return False
