"""A part that would fit its instrument if all of it stood in another octave."""

from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs, lowest


@rule
def octave_off(
    chair: Chair,
    compass: Compass,
    read: ReadAs,
    fewest: int = 8,
    share_below: int = 60,
    share_above: int = 95,
    share_beyond: int = 5,
) -> Hits:
    """One hit where under `share_below` percent fit as they are and `share_above` percent fit at another octave.

    At least `share_beyond` percent must be outside the compass altogether: a part that is high throughout is no octave off. The
    thresholds are engineering choices, tried on published scores; no source.
    """
    low, high = compass.comfortable_lowest or compass.lowest, compass.comfortable_highest or compass.highest
    heights = [read.height(tone) for tone in chair.tones if not tone.harmonic]
    if len(heights) < fewest:
        return

    def share(octaves: int) -> float:
        inside = sum(low.value.cents <= height + 1200 * octaves <= high.value.cents for height in heights)
        return 100 * inside / len(heights)

    here, floor, ceiling = share(0), lowest(chair, compass).value.cents, compass.highest.value.cents
    beyond = sum(not floor <= height <= ceiling for height in heights)
    if here >= share_below or 100 * beyond < share_beyond * len(heights):
        return
    octaves = max((1, -1, 2, -2), key=share)
    if share(octaves) < share_above:
        return
    values = {
        "octaves": abs(octaves),
        "octaves_told": "an octave" if abs(octaves) == 1 else "two octaves",
        "direction": "low" if octaves > 0 else "high",
        "opposite": "higher" if octaves > 0 else "lower",
        "share_here": round(here),
        "share_there": round(share(octaves)),
        "tried": read.told,
    }
    yield Hit(values=values, rests_on=(low, high), grade=read.cap)
