"""Several pedals of one foot that have to move at one moment."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan
from xmlcheck_zither.pace import better_spelling, crowd
from xmlcheck_zither.planning.pedals import LETTERS


@rule
def one_foot(chair: Chair, plan: PedalPlan, pedals: Pedals) -> Hits:
    """One hit for each change, as the part is spelled, that finds no time because its foot has other pedals to move."""
    if pedals.one_foot is None:
        return
    told: set[int] = set()
    for change, _ in plan.written.late_changes():
        chord = plan.chords[change.chord]
        together = crowd(plan, change, pedals)
        if chord.uses[0].turn > 1 or len({item.item for item in together}) < 2 or change.chord in told:
            continue
        told.add(change.chord)
        values = {
            "letters": ", ".join(dict.fromkeys(LETTERS[item.item] for item in together)),
            "moves": len(together),
            "side": "left" if LETTERS[change.item] in pedals.left.value else "right",
            "window": f"{max(item.deadline for item in together) - min(item.release for item in together):.2f}",
            "pace": f"{pedals.one_foot.value:g}",
            "better": better_spelling(plan, change),
        }
        side = pedals.left if values["side"] == "left" else pedals.right
        yield Hit(at=chord.tones, values=values, rests_on=(pedals.one_foot, side))
