"""Notes of one stretch that no tuning has together."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_zither.facets import Levers, Pressing, Retuning, StringSet
from xmlcheck_zither.granted import Granted, grounds
from xmlcheck_zither.harps import LeverPlan
from xmlcheck_zither.plans import opening_text
from xmlcheck_zither.stated import Statements
from xmlcheck_zither.zithers import TuningPlan


@rule
def left_over(
    chair: Chair,
    plan: TuningPlan,
    strings: StringSet,
    said: Statements,
    retuning: Retuning | None,
    pressing: Pressing | None,
    levers: Levers | None,
    levered: LeverPlan | None,
) -> Hits:
    """One hit for each tone that the best plan leaves over though some tuning has it. A tuning written in the part is not judged."""
    if levered is not None and levers is not None:
        for use in levered.unreachable:
            if use.cents in levered.anywhere:
                lost: dict[str, object] = {"pitch": use.tone.sounding, "stretch": "the part", "beside": "its other notes"}
                lost |= {"within": "", "tuning": ""}
                yield Hit(at=(use.tone,), values=lost, rests_on=(levered.tuning,))
        return
    granted = Granted(strings, retuning, pressing)
    rests = grounds(strings, retuning, pressing)
    within = "players do not retune in the course of a cue" if retuning is not None and not retuning.in_cue.value else ""
    for span in plan.spans:
        if not span.alone or _stated(said, span.struck[0].uses[0].tone.onset):
            continue
        pitches = {use.cents: use.tone.sounding.name for struck in span.struck for use in struck.uses}
        ordered = sorted(span.tuning.values())
        first, last = span.struck[0].uses[0].tone, span.struck[-1].uses[-1].tone
        bars = chair.facts.places(chair.part).bars
        stretch = f"bars {bars[first.measure]} to {bars[last.measure]}"
        tuning = opening_text(plan, strings, plan.names.moves(_usual(strings), span.tuning)) if span is plan.spans[0] else ""
        for struck in span.struck:
            for use in struck.uses:
                if use.turn == 1 and plan.reach.least(use.cents, ordered) is None and granted.gives(use.cents):
                    values = {
                        "pitch": use.tone.sounding,
                        "stretch": stretch,
                        "beside": ", ".join(pitches[cents] for cents in sorted(pitches) if 0 < abs(cents - use.cents) <= 200),
                        "within": within,
                        "tuning": tuning,
                    }
                    grade = None if plan.full and chair.for_one_player(use.tone.onset) else Grade.QUERY
                    yield Hit(at=(use.tone,), values=values, rests_on=rests, grade=grade)


def _stated(said: Statements, onset: int) -> bool:
    item = said.before(onset)
    return item is not None and item.tuned is not None


def _usual(strings: StringSet) -> dict[int, int]:
    return {index: item.cents for index, item in enumerate(strings.usual.pitches)}
