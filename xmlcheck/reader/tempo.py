"""Metronome marks in quarter notes a minute."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from lxml import etree

from xmlcheck.model import Mark
from xmlcheck.reader.marks import make, mark
from xmlcheck.reader.values import dotted

_NUMBER = re.compile(r"\d{1,5}(?:[.,]\d{1,4})?")
_RANGE = re.compile(rf"({_NUMBER.pattern})\s*(?:[-/\u2010-\u2014]|to|bis|à|a)\s*({_NUMBER.pattern})")


def read_metronome(element: etree._Element) -> Mark:
    """The mark of a `<metronome>`, with `quarters-per-minute` and, for a range, `quarters-per-minute-high` in `extra`.

    The value is the text of `<per-minute>` as printed: "60", "c. 60", "60-66" (MusicXML 4.0, element per-minute). A
    metric modulation (beat unit = beat unit) has no number, and then there is no quarters-per-minute.
    """
    plain = mark("direction", element)
    text = (element.findtext("per-minute") or "").strip()
    unit, rates = _unit(element), per_minute(text)
    extra = plain.extra
    if unit and rates:
        for name, rate in zip(("quarters-per-minute", "quarters-per-minute-high"), rates, strict=False):
            extra += ((name, _decimal(rate * unit)),)
    return make("direction", plain.name, "", text, "", extra)


def per_minute(text: str) -> tuple[Fraction, ...]:
    """The numbers of a tempo text: none, one ("c. 60"), or the two ends of a range ("60-66"), lower first."""
    found = _RANGE.search(text)
    texts = list(found.groups()) if found else _NUMBER.findall(text)[:1]
    rates = sorted({Fraction(number.replace(",", ".")) for number in texts})
    return tuple(rate for rate in rates if rate > 0)


def _unit(element: etree._Element) -> Fraction | None:
    """Quarter notes in the beat unit left of the equals sign: its value, dots and tied values."""
    lengths: list[tuple[str, int]] = []
    for child in element:
        if child.tag == "beat-unit":
            lengths.append((child.text or "", 0))
        elif child.tag == "beat-unit-dot" and lengths:
            lengths[-1] = (lengths[-1][0], lengths[-1][1] + 1)
        elif child.tag == "beat-unit-tied":
            dots = sum(1 for _ in child.iterchildren("beat-unit-dot"))
            lengths.append((child.findtext("beat-unit") or "", dots))
        elif child.tag == "per-minute":
            break
    parts = [dotted(name, dots) for name, dots in lengths]
    return sum((part for part in parts if part), Fraction(0)) if parts and all(parts) else None


def _decimal(value: Fraction) -> str:
    text = f"{Decimal(value.numerator) / Decimal(value.denominator):.4f}"
    return text.rstrip("0").rstrip(".")
