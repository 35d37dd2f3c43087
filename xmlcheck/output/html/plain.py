"""Reading plain values from any hand: tables, records and pitches of a findings file; whatever has another form is passed over."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from xmlcheck.pitch import Pitch, parse

_LOWEST, _HIGHEST = -2, 12
"""Octaves that can be drawn: all that can be heard lies between."""


def table(tables: Any, key: str) -> Mapping[str, Any]:
    """The table under a key; empty where there is none."""
    found = tables.get(key) if isinstance(tables, Mapping) else None
    return found if isinstance(found, Mapping) else {}


def records(items: Any) -> Iterator[Mapping[str, Any]]:
    """The tables in a list."""
    for item in items if isinstance(items, (list, tuple)) else ():
        if isinstance(item, Mapping):
            yield item


def texts(items: Any) -> tuple[str, ...]:
    """The items of a list as texts."""
    return tuple(str(item) for item in items) if isinstance(items, (list, tuple)) else ()


def pitch_of(value: Any) -> Pitch | None:
    """The pitch of `"C4"` or of a cited value `{"value": "C4", ...}`; None for anything else, and for what nobody hears."""
    if isinstance(value, Mapping):
        value = value.get("value")
    if not isinstance(value, str):
        return None
    try:
        pitch = parse(value)
    except (ValueError, ArithmeticError):
        return None
    return pitch if _LOWEST <= pitch.octave <= _HIGHEST else None


def finite(value: Any) -> float | None:
    """A number that is one."""
    return float(value) if isinstance(value, (int, float)) and math.isfinite(value) else None


def text(value: Any) -> str:
    """A value as a text; empty for null."""
    return "" if value is None else str(value)


def integer(value: Any, otherwise: int) -> int:
    """A whole number that is one."""
    return value if isinstance(value, int) and not isinstance(value, bool) else otherwise
