"""Notes whose other name fits the notes around them far better."""

from __future__ import annotations

from collections.abc import Sequence

from xmlcheck.plugin import Chair, Hit, Hits, Tone, rule
from xmlcheck_export.fifths import odd


@rule
def spelling_far(chair: Chair, margin: float = 5.0, most: float = 0.1, fewest: int = 12) -> Hits:
    """One hit for each note whose twin on the line of fifths is nearer by more than `margin` fifths.

    Silent in parts with microtones, and where more than `most` of the notes would be named: that music has another order.
    """
    tones = [tone for tone in chair.tones if not tone.harmonic]
    if len(tones) < fewest or any(tone.written.cents % 100 for tone in tones):
        return
    found = odd(tones, _signatures(chair, tones), margin=margin)
    if len(found) > most * len(tones):
        return
    for item in found:
        values = {"written": item.tone.written.name, "other": item.other}
        yield Hit(at=(item.tone,), values=values)


def _signatures(chair: Chair, tones: Sequence[Tone]) -> list[int | None]:
    """The key signature at each tone."""
    keys = [key for key in chair.part.keys if key.staff in (0, 1)]
    result: list[int | None] = []
    index = -1
    for tone in tones:
        while index + 1 < len(keys) and keys[index + 1].onset <= tone.onset:
            index += 1
        result.append(keys[index].fifths if index >= 0 else None)
    return result
