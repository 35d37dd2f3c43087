"""Trills and tremolos between two pitches, as a file writes them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from xmlcheck.plugin import Chair, Tone
from xmlcheck_winds.line import Line

ALTERS = {"sharp": 1, "natural": 0, "flat": -1, "double-sharp": 2, "flat-flat": -2}
ORDER = "FCGDAEB"


@dataclass(frozen=True, slots=True)
class Shake:
    """A trill on one tone, or a tremolo between two; lower, upper: cents under the reading taken."""

    tones: tuple[Tone, ...]
    lower: int
    upper: int
    trill: bool

    @property
    def tone(self) -> Tone:
        return self.tones[0]


def shakes(chair: Chair, line: Line) -> Iterator[Shake]:
    """The trills (to the step above in the key, or as a small accidental says) and the tremolos of two tones of a line."""
    for index, step in enumerate(line):
        tone = step.tone
        if tone.has("trill-mark"):
            yield Shake((tone,), step.cents, step.cents + above(chair, tone), True)
        elif _tremolo(tone, "start") and index + 1 < len(line) and _tremolo(line[index + 1].tone, "stop"):
            other = line[index + 1]
            low, high = sorted((step.cents, other.cents))
            if low != high:
                yield Shake((tone, other.tone), low, high, high - low <= 200)


def _tremolo(tone: Tone, kind: str) -> bool:
    return any(mark.name == "tremolo" and mark.type == kind for note in tone.notes for mark in note.marks)


def above(chair: Chair, tone: Tone) -> int:
    """Cents from a written note to its upper neighbour: by the key signature, or by the small accidental at the trill."""
    written = tone.written
    key = chair.key_at(tone.onset, tone.staff)
    step = "CDEFGAB"[("CDEFGAB".index(written.step) + 1) % 7]
    alter = Decimal(_signed(key.fifths if key is not None and key.fifths is not None else 0, step))
    small = next((mark.value for note in tone.notes for mark in note.marks if mark.name == "accidental-mark"), "")
    if small in ALTERS:
        alter = Decimal(ALTERS[small])
    natural = {"E": 1, "B": 1}.get(written.step, 2)
    return int((natural + alter - written.alter) * 100)


def _signed(fifths: int, step: str) -> int:
    """What a key signature does to a letter: 1 sharp, -1 flat."""
    if fifths > 0:
        return int(step in ORDER[:fifths])
    return -int(step in ORDER[::-1][:-fifths]) if fifths < 0 else 0
