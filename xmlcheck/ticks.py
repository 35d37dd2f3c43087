"""Time as whole numbers: one resolution a score, so that no rounding can creep in. A leaf module."""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal, InvalidOperation
from fractions import Fraction

LARGEST = 50_803_200
"""Cap on ticks per quarter note: holds every common division (2^9 * 3^4 * 5^2 * 7^2) and keeps numbers small."""


def resolution(divisions: Iterable[str]) -> tuple[int, bool]:
    """Ticks per quarter note that hold every `<divisions>` text exactly, and whether the cap had to be applied.

    The schema lets divisions be any positive decimal. Texts that are no positive number are passed over here (the
    reader reports them). Over the cap the finest value is dropped: durations are then rounded to a tick.
    """
    ticks, capped = 1, False
    for text in divisions:
        value = decimal(text)
        if value is None or value <= 0:
            continue
        common = math.lcm(ticks, Fraction(value).numerator)
        if common > LARGEST:
            capped = True
        else:
            ticks = common
    return ticks, capped


def decimal(text: str | None) -> Decimal | None:
    """A finite decimal number, or None where the text is absent, not a number, infinite or absurdly long."""
    if text is None or len(text) > 64:
        return None
    try:
        value = Decimal(text.strip())
    except InvalidOperation:
        return None
    if not value.is_finite() or abs(value.adjusted()) > 18:
        return None
    return value


def quarters(ticks: int, per_quarter: int) -> Fraction:
    """Ticks as an exact number of quarter notes."""
    return Fraction(ticks, per_quarter)


def beat_text(beat: Fraction) -> str:
    """A beat as exact text: `1`, `2+1/3`. Beats count from 1."""
    whole, rest = divmod(beat, 1)
    return str(whole) if not rest else f"{whole}+{rest}"
