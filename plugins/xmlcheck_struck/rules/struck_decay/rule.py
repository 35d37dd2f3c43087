"""Struck notes written much longer than they are heard."""

from xmlcheck.plugin import Chair, Cited, Compass, Hit, Hits, rule
from xmlcheck_struck.derived import Sounding
from xmlcheck_struck.facets import Ring
from xmlcheck_struck.lasting import Lasting
from xmlcheck_struck.striking import chord_of


@rule
def decay(
    chair: Chair, ring: Ring, compass: Compass, lasts: Lasting, height: Sounding, times: float = 2.0, alone: bool = True
) -> Hits:
    """One hit for each note longer than `times` what is heard at its height, with neither roll nor l.v.

    The last note of the part rings as it may, and (with `alone`) so does a note over which others go on.
    """
    if not chair.tones:
        return
    last = chair.tones[-1].onset
    for index, sonority in enumerate(chair.sonorities):
        tone = max(sonority.struck, key=lambda item: item.end)
        heard = _heard(ring, compass, height(tone))
        if heard is None or tone.onset >= last or any(map(lasts, chord_of(tone, sonority.struck))):
            continue
        seconds, used = heard
        length = chair.seconds(tone.onset, tone.end)
        following = chair.sonorities[index + 1].onset if index + 1 < len(chair.sonorities) else tone.end
        if length <= times * seconds or (alone and chair.seconds(tone.onset, min(following, tone.end)) <= times * seconds):
            continue
        values = {"seconds": round(length, 1), "decay": f"{seconds:.2g}"}
        yield Hit(at=(tone,), values=values, rests_on=used)


def _heard(ring: Ring, compass: Compass, cents: int) -> tuple[float, tuple[Cited[float], ...]] | None:
    """Seconds that a note at this height is heard: between the two ends in equal steps of the logarithm."""
    low, high = ring.low_seconds, ring.high_seconds
    if low is None or high is None:
        only = low or high
        return (only.value, (only,)) if only is not None else None
    bottom, top = compass.lowest.value.cents, compass.highest.value.cents
    share = min(1.0, max(0.0, (cents - bottom) / max(1, top - bottom)))
    return low.value * (high.value / low.value) ** share, (low, high)
