"""Note values and noteheads: what the standard's names mean."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from xmlcheck.reader.grid import whole

_NAMES = (
    "maxima", "long", "breve", "whole", "half", "quarter", "eighth",
    "16th", "32nd", "64th", "128th", "256th", "512th", "1024th",
)  # fmt: skip
LENGTHS = {name: Fraction(32, 2**power) for power, name in enumerate(_NAMES)}
"""Quarter notes in each value of `<type>` and `<beat-unit>` (MusicXML 4.0, data type note-type-value)."""

SHAPES = frozenset((
    "slash", "x", "cross", "circle-x", "square", "rectangle", "cluster", "slashed", "back slashed", "arrow up", "arrow down",
))  # fmt: skip
"""Noteheads that show no exact pitch. Shape-note heads (do, re ...) and diamonds do."""


def dotted(name: str, dots: int) -> Fraction | None:
    """Quarter notes in a note value with this many dots, or None for an unknown name. Each dot adds half of the last."""
    plain = LENGTHS.get(name.strip())
    return None if plain is None else plain * (2 - Fraction(1, 2 ** min(dots, 8)))


@lru_cache(maxsize=256)
def ratio(actual: str | None, normal: str | None) -> tuple[int, int] | None:
    """A time modification, `actual` notes in the time of `normal`; None where either is no positive number."""
    first, second = whole(actual), whole(normal)
    return (first, second) if first and second and 0 < first < 10_000 and 0 < second < 10_000 else None
