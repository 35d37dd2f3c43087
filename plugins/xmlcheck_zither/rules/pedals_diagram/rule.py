"""Diagrams that do not fit the notes after them; and the plan of every pedal harp part."""

from xmlcheck.plugin import Chair, Hit, Hits, Plan, Profile, rule, within
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan
from xmlcheck_zither.pace import form
from xmlcheck_zither.planning.pedals import LETTERS
from xmlcheck_zither.plans import pedal_lines, plan_id, vouched

NEXT_BARS = 1
"""Bars after the diagram's own in which its letters are compared; later ones may have been changed by the player."""


@rule
def diagram(chair: Chair, plan: PedalPlan, pedals: Pedals, profile: Profile) -> Hits:
    """The plan, and one hit for each letter of a diagram whose next note, in that bar or the next, stands in another form."""
    if plan.chords:
        lines = pedal_lines(chair, plan, pedals.left.value, pedals.right.value)
        rests = vouched(profile, {"harp_pedals.left": pedals.left, "harp_pedals.right": pedals.right})
        yield Plan(plan_id(chair), "tuning", chair.part.id, lines, rests)
    marks = [(direction, mark) for direction in chair.directions for mark in direction.named("harp-pedals")]
    ends = [*(direction.onset for direction, _ in marks[1:]), 1 << 62][: len(marks)]
    for (direction, mark), end in zip(marks, ends, strict=True):
        for letter, alter in mark.extra:
            following = (
                tone
                for tone in within(chair.tones, direction.onset, end)
                if tone.measure <= direction.measure + NEXT_BARS and tone.sounding.step == letter
            )
            tone = next(following, None)
            if tone is not None and letter in LETTERS and _number(alter) != tone.sounding.alter:
                said = form(LETTERS.index(letter), int(_number(alter)))
                values = {"said": said, "letter": letter, "found": tone.sounding.name}
                yield Hit(at=(tone,), values=values, rests_on=(pedals.positions,), group=letter)


def _number(text: str) -> float:
    try:
        return float(text or "0")
    except ValueError:
        return 0.0
