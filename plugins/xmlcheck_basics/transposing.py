"""What the transposition rules share: the usual convention, and whether a part says anything about its transposition."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from xmlcheck.plugin import Chair, Convention, Reading, Transpose


def usual(reading: Reading) -> Convention | None:
    """The convention to assume where the file is silent, if it transposes by more than octaves."""
    convention = next((item for item in reading.conventions if item.usual), None)
    return convention if convention is not None and pitch_class(convention.chromatic) else None


def silent(chair: Chair) -> bool:
    """Whether the file could say how the part transposes and does not: no <transpose>, no concert score, no disclaimer."""
    score = chair.facts.score
    given = any(not item.for_part for item in chair.part.transposes)
    return not given and not score.concert and "transpose" not in score.absent and bool(chair.tones)


def given(chair: Chair) -> Iterator[Transpose]:
    """Each <transpose> that holds for some note of the chair: in a part for several instruments each has its own."""
    first, last = (chair.notes[0].onset, chair.notes[-1].onset) if chair.notes else (0, 0)
    yield from chair.facts.signs(chair.part).transposes.during(first, last)


def same_key(one: int, other: int) -> bool:
    """Whether two key signatures in fifths are the same on the keyboard: five flats and seven sharps are."""
    return (one - other) % 12 == 0


def number(semitones: Decimal) -> int | float:
    """Semitones for words and JSON: whole where they are whole."""
    return int(semitones) if semitones == int(semitones) else float(semitones)


def pitch_class(semitones: Decimal) -> Decimal:
    """Semitones within the octave, 0 to below 12; Decimal's own remainder keeps the sign."""
    return semitones - 12 * (semitones // 12) if semitones >= 0 else (12 + semitones % 12) % 12


def first_fifths(chair: Chair) -> int | None:
    """The part's first key signature in fifths, sharps positive; None where it has none."""
    return next((key.fifths for key in chair.part.keys if key.fifths is not None), None)
