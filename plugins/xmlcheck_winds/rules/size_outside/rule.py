"""Notes that the size in hand has not got, though another size has."""

from xmlcheck.plugin import Chair, Compass, Grade, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs
from xmlcheck_winds.classes import within
from xmlcheck_winds.derived import Choice, told_size
from xmlcheck_winds.facets import Sizes


@rule
def outside(chair: Chair, sizes: Sizes, choice: Choice, compass: Compass, read: ReadAs, tolerance_cents: int = 40) -> Hits:
    """One hit for each tone that the named size has not got, or of the best sizes where none is named.

    What no size has is left to the compass rules. Where parts are written by fingering every size reads the same notes, so the
    usual one stands for all.
    """
    complete = next((fit.size for fit in choice.fits if not fit.outside), None)
    for tone in chair.tones:
        cents, size = choice.height(tone), choice.at(tone.onset)
        if tone.harmonic == "open" or within(size, cents, tolerance_cents):
            continue
        low, high = compass.lowest.value.cents - tolerance_cents, compass.highest.value.cents + tolerance_cents
        if not low <= read.height(tone) <= high:
            continue
        top = size.extreme or size.highest
        values = {
            "title": size.title,
            "size": size.key or size.id,
            "lowest": size.lowest,
            "highest": top,
            "other": told_size(complete) if complete is not None and complete is not size else None,
        }
        grade = Grade.QUERY if not read.sure or choice.written else None
        yield Hit(at=(tone,), values=values, rests_on=(size,), grade=grade, group=size.id)
