"""Dynamics so dense that they are the loudness of single keys."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, rule

STEPS = ("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff")
"""Levels from soft to loud; accents (sf, fp ...) are no level."""


@rule
def dynamics_every_note(chair: Chair, per_note: float = 0.5, fewest: int = 8) -> Hits:
    """One hit a part with at least `fewest` levels and one for every other onset or more."""
    found = [mark.value for item in chair.directions for mark in item.named("dynamics") if mark.value in STEPS]
    found += [mark.value for note in chair.notes if note.marks for mark in note.named("dynamics") if mark.value in STEPS]
    onsets = len({tone.onset for tone in chair.tones})
    if len(found) < fewest or len(found) < per_note * onsets:
        return
    levels = sorted(set(found), key=STEPS.index)
    yield Hit(values={"marks": len(found), "tones": onsets, "softest": levels[0], "loudest": levels[-1]})
