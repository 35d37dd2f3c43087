"""Pedals that have to move while a string of their letter is held."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan
from xmlcheck_zither.pace import form
from xmlcheck_zither.planning.pedals import LETTERS
from xmlcheck_zither.planning.settings import Change
from xmlcheck_zither.uses import Use

HAIR = 0.06
"""Seconds of overlap that are not doubted: notes drawn a little long (ours, no source)."""


@rule
def sounding(chair: Chair, plan: PedalPlan, pedals: Pedals) -> Hits:
    """One hit for each change during which the part still holds a note of that letter."""
    moved: dict[int, list[Change]] = {}
    for change in plan.written.moved:
        moved.setdefault(change.chord, []).append(change)
    held: list[Use] = []
    for index, chord in enumerate(plan.chords):
        held = [use for use in held if use.end > chord.start + HAIR]
        for change in moved.get(index, ()):
            letter = LETTERS[change.item]
            under = [use for use in held if use.tone.sounding.step == letter and use.start < chord.start - HAIR]
            if under and chord.uses[0].turn == 1:
                values = {
                    "held": under[0].tone.sounding,
                    "letter": letter,
                    "before": form(change.item, change.before),
                    "after": form(change.item, change.after),
                }
                yield Hit(at=chord.tones, values=values, rests_on=(pedals.positions,))
        held += chord.uses
