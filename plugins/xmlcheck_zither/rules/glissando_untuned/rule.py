"""Glissandi whose notes are not open strings."""

from collections.abc import Iterator

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_zither.facets import Retuning, StringSet
from xmlcheck_zither.uses import Played, Use
from xmlcheck_zither.zithers import TuningPlan


@rule
def untuned(chair: Chair, uses: Played, plan: TuningPlan, strings: StringSet, retuning: Retuning) -> Hits:
    """One hit for each glissando with a note that is no open string in the tuning of its place."""
    by_tone = {id(use.tone): use for use in uses.uses if use.turn == 1}
    for line in chair.lines:
        for sweep in _sweeps(line):
            played = [by_tone[id(tone)] for tone in sweep if id(tone) in by_tone]
            off = [use for use in played if _off(plan, use)]
            if off:
                ordered = sorted(plan.span_of(off[0]).tuning.values())
                nearest = min(ordered, key=lambda cents: abs(cents - off[0].cents))
                values = {"pitch": off[0].tone.sounding, "nearest": plan.names.pitch(nearest)}
                rests = (plan.named or strings.usual,)
                yield Hit(at=tuple(use.tone for use in off), values=values, rests_on=rests)


def _off(plan: TuningPlan, use: Use) -> bool:
    take = plan.takes.get(use.number)
    return take is None or take.pressed


def _sweeps(line: tuple[Tone, ...]) -> Iterator[list[Tone]]:
    """The tones of each glissando of a voice, from its start to its stop."""
    running: dict[str, list[Tone]] = {}
    for tone in line:
        for sweep in running.values():
            sweep.append(tone)
        for mark in tone.first.marks:
            if mark.name == "glissando" and mark.type == "start":
                running[mark.number] = [tone]
            elif mark.name == "glissando" and mark.type == "stop" and mark.number in running:
                yield running.pop(mark.number)
