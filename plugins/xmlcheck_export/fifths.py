"""Spelling by the line of fifths: is a note's other name far closer to the notes around it?

David Temperley, "The line of fifths", Music Analysis 19 (2000): spellings that lie close together on the line are preferred.
This checks a given spelling and respells nothing. Window, weight of the signature and margin are engineering choices, tried on
published scores.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from xmlcheck.plugin import Pitch, Tone

LINE = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
"""Places of the letters on the line of fifths; a sharp adds seven."""
TWIN = 12
"""Fifths between two names of one key of the keyboard."""
_LETTERS = "FCGDAEB"


@dataclass(frozen=True, slots=True)
class Odd:
    """One note whose other name is nearer: its tone, that name, and both distances in fifths from the centre around it."""

    tone: Tone
    other: str
    here: float
    there: float


def place(pitch: Pitch) -> int:
    """The place of a spelled pitch on the line of fifths. Meaningful for whole alterations."""
    return LINE[pitch.step] + 7 * int(pitch.alter)


def name(place: int) -> str:
    """Letter and signs of a place on the line."""
    signs, index = divmod(place + 1, 7)
    return _LETTERS[index] + ("#" * signs if signs > 0 else "b" * -signs)


def odd(
    tones: Sequence[Tone], fifths: Sequence[int | None], around: int = 10, weight: int = 7, margin: float = 5.0
) -> list[Odd]:
    """The notes whose other name is nearer by more than `margin` fifths to the centre of `around` notes each side.

    fifths: the key signature in force at each tone, None where there is none. The signature counts as `weight` notes at the
    centre of its scale, which spans from one fifth below its tonic to five above.
    """
    known = {pitch: place(pitch) for pitch in {tone.written for tone in tones}}
    places = [known[tone.written] for tone in tones]
    sums = [0]
    for value in places:
        sums.append(sums[-1] + value)
    found = []
    for index, (tone, here, signature) in enumerate(zip(tones, places, fifths, strict=True)):
        low, high = max(0, index - around), min(len(places), index + 1 + around)
        total, count = sums[high] - sums[low] - here, high - low - 1
        if signature is not None:
            total, count = total + weight * (signature + 2), count + weight
        if count < 4:
            continue
        centre = total / count
        other = here + TWIN if here < centre else here - TWIN
        distance, nearer = abs(here - centre), abs(other - centre)
        if distance - nearer > margin:
            found.append(Odd(tone, name(other), distance, nearer))
    return found


def spread(places: Sequence[int], window: int = 16) -> float:
    """Mean distance in fifths between notes and the centre of their window: small where spellings hang together."""
    total = 0.0
    for start in range(0, len(places), window):
        own = places[start : start + window]
        centre = sum(own) / len(own)
        total += sum(abs(value - centre) for value in own)
    return total / len(places) if places else 0.0
