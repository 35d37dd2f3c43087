"""Pitches outside a mouth organ's set."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs
from xmlcheck_free_reed.facets import Reeds


@rule
def pitch(chair: Chair, reeds: Reeds, read: ReadAs, tolerance_cents: int = 60) -> Hits:
    """One hit for each tone between the lowest and the highest reed that has none; a query where some instruments have one."""
    known = [item.cents for item in reeds.pitches.value]
    optional = list(reeds.optional.value) if reeds.optional is not None else []
    shown = ", ".join(item.name for item in reeds.pitches.value)
    for tone in chair.tones:
        cents = read.height(tone)
        if not min(known) <= cents <= max(known) or min(abs(cents - one) for one in known) <= tolerance_cents:
            continue
        had = any(abs(cents - item.cents) <= tolerance_cents for item in optional)
        values = {"note": tone.sounding.name, "pitches": shown, "optional": ", ".join(item.name for item in optional)}
        yield Hit(at=(tone,), values=values, rests_on=(reeds.pitches,), grade=Grade.QUERY if had else read.cap)
