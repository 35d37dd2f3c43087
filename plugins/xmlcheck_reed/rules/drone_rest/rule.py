"""Rests inside a tune for a pipe that cannot be silenced."""

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_reed.facets import Drones
from xmlcheck_winds.facets import Blowing

STRIKE = 2.0
"""Seconds to cut off and strike in again where the profile gives none (ours)."""


@rule
def rest(chair: Chair, drones: Drones, blowing: Blowing | None) -> Hits:
    """One hit for each silence between two notes that is too short to cut off and strike in again."""
    if drones.rests is None or drones.rests.value:
        return
    given = (
        [] if blowing is None else [item.value for item in (blowing.start_seconds, blowing.stop_seconds) if item is not None]
    )
    needed = sum(given) if given else STRIKE
    tones = chair.tones
    for start, end in chair.silences:
        before = next((tone for tone in reversed(tones) if tone.end <= start), None)
        after = next((tone for tone in tones if tone.onset >= end), None)
        if before is None or after is None or chair.seconds(start, end) >= 2 * needed:
            continue
        at: tuple[Tone, ...] = (before, after)
        yield Hit(at=at, values={"seconds": chair.seconds(start, end)}, rests_on=(drones.rests,))
