"""A named size on which many notes are hindered that another has plainly."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Choice, Held, told_size
from xmlcheck_winds.facets import Fingering, Sizes
from xmlcheck_winds.placing import size_plan


@rule
def better(chair: Chair, sizes: Sizes, fingering: Fingering, choice: Choice, fewest: int = 4, share: int = 10) -> Hits:
    """One hit where the named size has at least `fewest` more hindered notes, `share` percent of all and twice the effort of the best.

    Parts that name several sizes are left alone: somebody has thought about it.
    """
    if choice.written or len(choice.named) != 1:
        return
    named, best = choice.fit_of(choice.named[0].size), choice.fits[0]
    if best.size is named.size or best.outside or named.outside or best.size.ordered:
        return
    saved = named.hindered - best.hindered
    if saved < fewest or 100 * saved < share * named.notes or named.effort < 2 * best.effort:
        return
    text = told_size(best.size)
    plan = size_plan(chair, [Held(0, best.size, False)])
    values = {
        "title": named.size.title,
        "told": named.told,
        "size": best.size.key or best.size.id,
        "other_told": best.told,
        "text": text,
    }
    yield Hit(values=values, rests_on=(named.size, best.size, *fingering.rows), plan=plan)
