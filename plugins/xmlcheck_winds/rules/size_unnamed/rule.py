"""The size that a part leaves open, and the one that serves it best."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Choice, Held, told_size
from xmlcheck_winds.facets import Sizes
from xmlcheck_winds.placing import first_from, place_of, size_plan


@rule
def unnamed(chair: Chair, sizes: Sizes, choice: Choice, offered: int = 2, most: int = 40) -> Hits:
    """One hit for a part that names no size, with the plan; none where the size cannot be told from the notes.

    A part that names its size, or that lies plainly on the usual one throughout, gets the plan alone: the line for its head, by the
    instrument's own custom. Where more than `most` percent are hindered on every size the notes tell nothing.
    """
    if choice.written or len(sizes.carried) < 2 or not chair.tones:
        return
    best = choice.best[0].size
    fit = choice.together
    usual = len(choice.best) == 1 and best is choice.usual and not fit.hindered
    if not choice.named and 100 * fit.hindered > most * fit.notes:
        return
    if choice.named or usual:
        yield size_plan(chair, choice.held)
        return
    others = [other for other in choice.fits if other.size is not best][:offered]
    changes = [_told(chair, held) for held in choice.best[1:]]
    values = {
        "text": told_size(best),
        "size": best.key or best.id,
        "told": fit.told,
        "others": "; ".join(f"{told_size(other.size)} ({other.told})" for other in others),
        "changes": ", ".join(changes),
    }
    yield Hit(values=values, rests_on=(best,), plan=size_plan(chair, choice.held))


def _told(chair: Chair, held: Held) -> str:
    tone = first_from(chair, held.start)
    bar = place_of(chair, tone).bar if tone is not None else None
    return f"{told_size(held.size)} from bar {bar}" if bar is not None else told_size(held.size)
