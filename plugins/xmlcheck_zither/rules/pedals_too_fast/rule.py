"""Single pedals that have to move faster than a foot does."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan
from xmlcheck_zither.pace import better_spelling, crowd, form
from xmlcheck_zither.planning.pedals import LETTERS


@rule
def too_fast(chair: Chair, plan: PedalPlan, pedals: Pedals) -> Hits:
    """One hit for each change, as the part is spelled, that finds no time, with one pedal alone."""
    if pedals.one_foot is None:
        return
    for change, _ in plan.written.late_changes():
        chord = plan.chords[change.chord]
        group = crowd(plan, change, pedals)
        if chord.uses[0].turn > 1 or len({item.item for item in group}) != 1:
            continue
        before, after = form(change.item, change.before), form(change.item, change.after)
        values = {
            "letter": LETTERS[change.item],
            "before": before,
            "after": after,
            "motion": f"goes from {before} to {after}" if len(group) == 1 else f"moves {len(group)} times",
            "window": f"{change.deadline - group[0].release:.2f}",
            "pace": f"{pedals.one_foot.value:g}",
            "better": better_spelling(plan, change),
        }
        yield Hit(at=chord.tones, values=values, rests_on=(pedals.one_foot,))
