"""Chords for whose notes there are not enough strings."""

from collections.abc import Sequence
from itertools import pairwise

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_zither.facets import Levers, Pressing, Retuning, StringSet
from xmlcheck_zither.granted import Granted, grounds
from xmlcheck_zither.harps import LeverPlan
from xmlcheck_zither.uses import Use
from xmlcheck_zither.zithers import TuningPlan


@rule
def one_string(
    chair: Chair,
    plan: TuningPlan,
    strings: StringSet,
    retuning: Retuning | None,
    pressing: Pressing | None,
    levers: Levers | None,
    levered: LeverPlan | None,
) -> Hits:
    """One hit for each chord with a note for which no string is left. A query where another tuning may have one."""
    if levered is not None and levers is not None:
        for index in levered.clashes:
            chord = levered.chords[index]
            if chord.uses[0].turn == 1:
                rests = (
                    levered.tuning,
                    *((levers.rise,) if levers.rise is not None else (*levers.steps, levers.tolerance or levers.hand)),
                )
                grade = Grade.QUERY if len(strings.tunings) > 1 else None
                yield Hit(at=chord.tones, values={"asked": _asked(_crowded(chord.uses))}, rests_on=rests, grade=grade)
        return
    granted = Granted(strings, retuning, pressing)
    rests = grounds(strings, retuning, pressing)
    for span in plan.spans:
        ordered = sorted(span.tuning.values())
        for struck in span.struck:
            left = [
                use
                for use in struck.uses
                if use.turn == 1 and plan.takes.get(use.number) is None and plan.reach.least(use.cents, ordered) is not None
            ]
            pitches = tuple(dict.fromkeys(use.cents for use in struck.uses))
            proven = len(pitches) > 1 and all(map(granted.gives, pitches)) and granted.too_few(pitches)
            if (left or proven) and struck.uses[0].turn == 1:
                one = chair.for_one_player(struck.uses[0].tone.onset)
                grade = None if proven and one and not struck.broken else Grade.QUERY
                yield Hit(at=struck.tones, values={"asked": _asked(_crowded(struck.uses))}, rests_on=rests, grade=grade)


def _asked(uses: Sequence[Use]) -> str:
    return " ".join(use.tone.sounding.name for use in uses)


def _crowded(uses: Sequence[Use]) -> Sequence[Use]:
    """The notes that crowd, from low to high: those within a tone of a neighbour; all where none does."""
    pitches = sorted({use.cents for use in uses})
    near = {pitch for low, high in pairwise(pitches) if high - low <= 200 for pitch in (low, high)}
    return [use for use in uses if use.cents in near] or uses
