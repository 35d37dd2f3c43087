"""Notes that the instrument has, but that many players approach with care."""

from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs, lowest


@rule
def uncomfortable(chair: Chair, compass: Compass, read: ReadAs, tolerance_cents: int = 40) -> Hits:
    """One hit for each tone inside the compass and outside the comfortable pair."""
    low, high = compass.comfortable_lowest, compass.comfortable_highest
    if low is None or high is None:
        return
    values = {"low": low.value, "high": high.value}
    floor, ceiling = lowest(chair, compass).value.cents, compass.highest.value.cents
    for tone in chair.tones:
        height = read.height(tone)
        if tone.harmonic or not floor <= height <= ceiling:
            continue
        if height < low.value.cents - tolerance_cents:
            yield Hit(at=(tone,), values=values, rests_on=(low,))
        elif height > high.value.cents + tolerance_cents:
            yield Hit(at=(tone,), values=values, rests_on=(high,))
