"""Registers changed without time for it."""

from xmlcheck.plugin import Chair, Hit, Hits, rule, says
from xmlcheck_keyboard.facets import Switches


@rule
def change_time(chair: Chair, switches: Switches, longest_words: int = 40) -> Hits:
    """One hit for each register word with less silence before it than a change takes. At the head of the part it takes none."""
    needed = switches.seconds
    if needed is None:
        return
    current = ""
    for direction in chair.directions:
        words = direction.words
        if not words or len(words) > longest_words:
            continue
        switch = next((item for item in switches.has if says(words, item.words)), None)
        if switch is None:
            continue
        gap = chair.gap(direction.onset)
        if gap is not None and switch.id != current:
            seconds = chair.seconds(*gap)
            if seconds < needed.value:
                values = {"words": words, "seconds": round(seconds, 1), "needed": f"{needed.value:g}"}
                yield Hit(at=(direction,), values=values, rests_on=(needed, switch))
        current = switch.id
