"""Fingering classes: how a note lies on one size of an instrument."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from xmlcheck_winds.facets import Fingering, Row, Size

OUTSIDE = "outside"
UNKNOWN = ""
HALF_TONE = 50
"""Cents from which a pitch counts to the next semitone."""


@dataclass(frozen=True, slots=True)
class Fingered:
    """How one note is made: a class of the table, "outside" beyond the size, "" where the table does not say. row: who says so."""

    name: str
    row: Row | None = None


def place(cents: int, lowest: int) -> int:
    """Semitones above the lowest note, a quarter-tone counting to the semitone above."""
    return (cents - lowest + HALF_TONE) // 100


def classed(rows: Sequence[Row], semitone: int) -> Fingered:
    """The class of a place above the lowest note: of the rows that reach it the one that begins last.

    A row that goes on reaches every place above its start, repeating each octave, so that a short row is an exception in it.
    """
    if semitone < 0:
        return Fingered("bent")
    holding = [row for row in rows if row.start <= semitone and (row.again or semitone < row.start + len(row.classes))]
    row = max(holding, key=lambda row: row.start, default=None)
    if row is None:
        return Fingered(UNKNOWN)
    index = semitone - row.start
    return Fingered(row.classes[index % 12 if row.again else index], row)


def within(size: Size, cents: int, tolerance: int = 40) -> bool:
    """Whether a size has a note at all: from the notes under its lowest that lip or head give, to its extreme top."""
    low = size.lowest.cents - 100 * size.below - tolerance
    top = size.extreme or size.highest
    return low <= cents and (top is None or cents <= top.cents + tolerance)


def fingered(fingering: Fingering | None, size: Size, cents: int) -> Fingered:
    """How a note is made on this size."""
    if not within(size, cents):
        return Fingered(OUTSIDE)
    return classed(fingering.rows if fingering is not None else (), place(cents, size.lowest.cents))
