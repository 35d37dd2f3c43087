"""Chords that no spelling brings onto seven letters."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan


@rule
def clash(chair: Chair, plan: PedalPlan, pedals: Pedals) -> Hits:
    """One hit for each chord without a setting; a query where two harps may share the part."""
    for index in plan.clashes:
        chord = plan.chords[index]
        if chord.uses[0].turn == 1:
            asked = " ".join(dict.fromkeys(use.tone.sounding.name for use in chord.uses))
            grade = None if chair.for_one_player(chord.uses[0].tone.onset) and not chord.broken else Grade.QUERY
            yield Hit(
                at=chord.tones, values={"asked": asked}, rests_on=(pedals.positions, pedals.left, pedals.right), grade=grade
            )
