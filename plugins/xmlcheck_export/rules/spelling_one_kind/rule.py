"""A part in which a sequencer has named every black key the same way."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_export.fifths import TWIN, place, spread


@rule
def spelling_one_kind(chair: Chair, fewest: int = 5, closer: float = 0.7) -> Hits:
    """One hit a part without key signature whose accidentals are all sharps, or all flats, and far closer by their other names.

    `closer`: how much smaller the mean distance on the line of fifths is to be, within windows of 16 notes.
    """
    if any(key.fifths != 0 for key in chair.part.keys):
        return
    pitches = [tone.written for tone in chair.tones if not tone.harmonic]
    signs = [pitch.alter for pitch in pitches if pitch.alter]
    kinds = {alter > 0 for alter in signs}
    if len(signs) < fewest or len(kinds) != 1 or any(abs(alter) != 1 for alter in signs):
        return
    sharps = kinds == {True}
    turn = -TWIN if sharps else TWIN
    here = spread([place(pitch) for pitch in pitches])
    there = spread([place(pitch) + (turn if pitch.alter else 0) for pitch in pitches])
    if there <= closer * here:
        values = {
            "kind": "sharps" if sharps else "flats", "others": "flats" if sharps else "sharps", "altered": len(signs),
            "here": round(here, 1), "there": round(there, 1),
        }  # fmt: skip
        yield Hit(values=values)
