"""Other mallets, sticks or a bow asked for without time to take them."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, folded, rule, says
from xmlcheck_struck.facets import Mallets

HELD = ("mallets", "sticks", "bowed")
"""Ids of techniques whose words say what is held."""


@rule
def take_time(chair: Chair, mallets: Mallets, techniques: Techniques) -> Hits:
    """One hit for each change of what is held with less silence than it takes. At the head, and as a reminder, it takes none."""
    needed = mallets.take_seconds
    items = [item for item in techniques.has if item.id in HELD]
    if needed is None or not chair.tones or chair.players not in (None, 1):
        return
    held = ""
    for direction in chair.directions:
        words = direction.words
        if not words or not any(says(words, item.words) or says(words, item.cancels) for item in items):
            continue
        now = folded(words).strip(" ([])")
        gap = chair.gap(direction.onset)
        if gap is not None and now != held:
            seconds = chair.seconds(*gap)
            if seconds < needed.value:
                values = {"words": words, "seconds": round(seconds, 1), "needed": f"{needed.value:g}"}
                yield Hit(at=(direction,), values=values, rests_on=(needed,))
        held = now
