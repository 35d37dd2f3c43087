"""Makam parts of one score that name different lengths."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Choice
from xmlcheck_winds.facets import Sizes
from xmlcheck_winds.sizing import named_words


@rule
def differ(chair: Chair, sizes: Sizes, choice: Choice) -> Hits:
    """One hit for each other part whose heading or words name another ahenk than this part; told on the later of the two."""
    if sizes.named_by.value != "ahenk" or len(choice.named) != 1:
        return
    own = named_words(chair, sizes)
    order = {id(other): index for index, other in enumerate(chair.facts.chairs)}
    for other in chair.facts.chairs:
        if own is None or other.part is chair.part or order.get(id(other), 0) > order.get(id(chair), 0):
            continue
        found = named_words(other, sizes)
        if found is None or found is own:
            continue
        values = {
            "own": own.title,
            "one": own.id,
            "another": found.id,
            "other": found.title,
            "part_other": other.part.display_name or other.part.name or other.part.id,
            "interval": abs(own.lowest.cents - found.lowest.cents) / 100,
        }
        yield Hit(values=values, rests_on=(own, found))
