"""Pitches: spelling kept, size exact. A leaf module: knows no XML and no instrument.

Twelve-tone equal temperament with A4 = 440 Hz is the reference (ISO 16:1975); middle C is C4. `cents` counts from C-1, so
C4 is 6000 and A4 is 6900; one semitone is 100 cents.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

STEPS = "CDEFGAB"
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_STEPS_OF = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
_NAME = re.compile(r"([A-Ga-g])(#{1,3}|b{1,3})?(-?\d+)(?:([+-]\d+)c)?\Z")


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch.

    step: letter A to G. alter: semitones against the natural letter, any decimal (-0.5 is a quarter-tone flat).
    octave: scientific, the octave of middle C is 4. cents: height in cents above C-1, rounded to a whole cent.
    """

    step: str
    alter: Decimal
    octave: int
    cents: int = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        height = (12 * (self.octave + 1) + SEMITONES[self.step] + self.alter) * 100
        object.__setattr__(self, "cents", round(height))

    def __hash__(self) -> int:  # equal pitches are equally high
        return self.cents

    @property
    def name(self) -> str:
        """Text as in the findings file: `Bb4`, `F##3`, `E4-50c` (a quarter-tone below E4)."""
        whole = int(self.alter)
        rest = round((self.alter - whole) * 100)
        if abs(whole) > 3:
            whole, rest = 0, round(self.alter * 100)
        signs = "#" * whole if whole > 0 else "b" * -whole
        return f"{self.step}{signs}{self.octave}" + (f"{rest:+d}c" if rest else "")

    def __str__(self) -> str:
        return self.name

    @property
    def frequency(self) -> float:
        """Hertz in equal temperament at A4 = 440 Hz (ISO 16:1975)."""
        return float(440.0 * 2.0 ** ((self.cents - 6900) / 1200))

    def moved(self, chromatic: Decimal | int, diatonic: int | None = None, octaves: int = 0) -> Pitch:
        """The pitch `chromatic` semitones and `diatonic` letter steps higher, then `octaves` octaves higher.

        Without `diatonic` the interval has its usual letter steps, those nearest on the circle of fifths.
        """
        chromatic = Decimal(chromatic)
        if diatonic is None:
            diatonic = _usual_steps(chromatic)
        index = STEPS.index(self.step) + diatonic
        step, octave = STEPS[index % 7], self.octave + index // 7 + octaves
        natural = 12 * (octave + 1) + SEMITONES[step]
        height = 12 * (self.octave + 1 + octaves) + SEMITONES[self.step] + self.alter + chromatic
        return _make(step, height - natural, octave)


@lru_cache(maxsize=4096)
def _make(step: str, alter: Decimal, octave: int) -> Pitch:
    return Pitch(step, alter, octave)


def _usual_steps(chromatic: Decimal) -> int:
    """Letter steps of an interval in semitones by its usual name: 2 is a major second, 3 a minor third, -2 a major second down."""
    octaves, rest = divmod(round(chromatic), 12)
    return 7 * octaves + _STEPS_OF[rest]


@lru_cache(maxsize=8192)
def spelled(step: str, alter: str, octave: str) -> Pitch:
    """The interned pitch of MusicXML texts, for example `spelled("B", "-1", "4")`.

    Raises ValueError (or decimal.InvalidOperation, an ArithmeticError) for texts that are not a pitch.
    """
    letter = step.strip()
    if letter not in SEMITONES:
        raise ValueError(f"not a letter A to G: {step!r}")
    number = Decimal(alter.strip() or "0")
    if not number.is_finite() or abs(number) > 100:
        raise ValueError(f"not an alteration in semitones: {alter!r}")
    height = int(octave.strip())
    if not -20 < height < 30:
        raise ValueError(f"not an octave: {octave!r}")
    return _make(letter, number, height)


@lru_cache(maxsize=4096)
def parse(name: str) -> Pitch:
    """The pitch of a text such as `C4`, `Bb3`, `F##5` or `E4-50c`; the inverse of `Pitch.name`. Raises ValueError."""
    match = _NAME.match(name.strip())
    if match is None:
        raise ValueError(f"not a pitch name such as Bb3 or E4-50c: {name!r}")
    letter, signs, octave, cents = match.groups()
    alter = Decimal(0)
    if signs:
        alter = Decimal(len(signs) if signs[0] == "#" else -len(signs))
    if cents:
        alter += Decimal(cents) / 100
    return _make(letter.upper(), alter, int(octave))
