"""Retunings, written or needed, that the rest before them leaves no time for."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Retuning, StringSet
from xmlcheck_zither.plans import caution, seconds_text
from xmlcheck_zither.zithers import Span, TuningPlan

LONG = 60.0
"""Seconds after which a retuning of unknown length is not doubted (ours, no source)."""


@rule
def no_time(chair: Chair, plan: TuningPlan, strings: StringSet, retuning: Retuning) -> Hits:
    """One hit for each retuning that the part writes, or that some notes need, without the time for it."""
    each = retuning.seconds.value if retuning.seconds is not None else None
    rests = tuple(value for value in (retuning.in_cue, retuning.seconds) if value is not None)
    within = "" if retuning.in_cue.value else "players do not retune in the course of a cue"
    for before, span in zip(plan.spans, plan.spans[1:], strict=False):
        first = span.struck[0]
        if span.given is not None:
            moves = plan.names.moves(before.tuning, span.tuning)
            count = sum(len(move.strings) for move in moves)
            needed = count * each if each is not None else LONG
            if not count or needed <= span.rest:
                continue
            change = "; ".join(move.text for move in moves)
            care = caution(moves, retuning)
        else:
            lost = _lost(plan, span)
            if not lost or span.alone:
                continue
            change, count, care = f"{' '.join(lost)} from here on needs other strings", 1, ""
            needed = each if each is not None else LONG
        values = {
            "change": change,
            "again": " (on the repeat)" if first.uses[0].turn > 1 else "",
            "count": count,
            "strings": "string" if count == 1 else "strings",
            "seconds": seconds_text(needed) if each is not None else "",
            "rest": seconds_text(span.rest),
            "within": within,
            "care": care,
        }
        yield Hit(at=(first.uses[0].tone,), values=values, rests_on=rests)


def _lost(plan: TuningPlan, span: Span) -> list[str]:
    """Names of the notes that the tuning of a stretch does not have."""
    ordered = sorted(span.tuning.values())
    names = (
        use.tone.sounding.name for struck in span.struck for use in struck.uses if plan.reach.least(use.cents, ordered) is None
    )
    return list(dict.fromkeys(names))
