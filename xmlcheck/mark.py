"""Signs as values: what a score's notes and directions carry, by the standard's own names. A leaf."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """One sign on a note or in a direction, by the standard's own names.

    group: articulations, technical, ornaments, notations (slur, glissando, fermata ...) or direction; note (grace, accidental
    or notehead with something to add, attack, release, time-only, notehead-text), play (mute, ipa, pizzicato ...), editorial
    (footnote, level), harmony (a chord symbol) or print (a new part name). name: element name.
    type: start, stop, continue, single ... value: element text; of dynamics the letters joined, of metronome its per-minute.
    number: its number attribute. extra: further attributes that are not layout, and children by their path (`bend-alter`,
    `tuplet-actual/tuplet-number`, `release@offset`). A metronome mark with a number has `quarters-per-minute` there, and
    `quarters-per-minute-high` for a range; harp-pedals have one pair a pedal, such as ("D", "-1").
    """

    group: str
    name: str
    type: str = ""
    value: str = ""
    number: str = ""
    extra: tuple[tuple[str, str], ...] = ()

    def get(self, key: str) -> str:
        """An extra attribute, or the empty text."""
        return next((value for name, value in self.extra if name == key), "")


@dataclass(frozen=True, slots=True)
class Harmonic:
    """A harmonic: how it is made, and what this notehead's pitch is (the standard's base, touching or sounding pitch)."""

    kind: str  # "natural", "artificial" or "" where the file does not say
    head: str  # "base", "touching", "sounding" or ""
