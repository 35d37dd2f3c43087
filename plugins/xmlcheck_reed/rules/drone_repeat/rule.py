"""Equal notes in a row that nothing parts."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_reed.facets import Drones
from xmlcheck_winds.derived import Lines


@rule
def repeat(chair: Chair, drones: Drones, melody: Lines) -> Hits:
    """One hit for each tone equal to the one before it, without a rest, a grace note or an ornament sign between."""
    if drones.repeats is None or drones.repeats.value:
        return
    graced = {note.onset for note in chair.notes if note.grace}
    signs = ("mordent", "inverted-mordent", "turn", "trill-mark", "other-ornament", "shake")
    for line in melody.lines:
        before = None
        for step in line:
            again = before is not None and before.meets and before.cents == step.cents
            before = step
            if again and step.tone.onset not in graced and not step.tone.has(*signs):
                yield Hit(at=(step.tone,), rests_on=(drones.repeats,))
