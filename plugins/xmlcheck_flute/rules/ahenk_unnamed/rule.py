"""Makam parts that do not say which length of instrument is meant."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Choice, Held, told_size
from xmlcheck_winds.facets import Sizes
from xmlcheck_winds.placing import size_plan
from xmlcheck_winds.sizing import named_words


@rule
def unnamed(chair: Chair, sizes: Sizes, choice: Choice) -> Hits:
    """One hit for a part written by fingering that names no size, unless the file gives its transposition; the plan is its line."""
    if sizes.named_by.value != "ahenk" or not chair.tones:
        return
    own = named_words(chair, sizes) or choice.usual
    text, plan = told_size(own), size_plan(chair, [Held(0, own, False)])
    if choice.named:
        yield plan
        return
    if any(not item.for_part for item in chair.part.transposes):
        return
    titles = ", ".join(size.title for size in sizes.carried if not size.ordered)
    values = {"sizes": titles, "usual": own.title, "usual_text": text}
    yield Hit(values=values, rests_on=(sizes.named_by, own), plan=plan)
