"""A profile's values as lines: each with its certainty, sources and note, whatever facet of whatever plugin it belongs to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from typing import Any

from xmlcheck.cited import Cited
from xmlcheck.output.page import Line, Sheet, block, printable

MARGIN = 14
_UNITS = {"seconds": "s", "mm": "mm", "cents": "cents", "semitones": "semitones", "percent": "%"}
"""What the last word of a key says about its unit."""
_HIDDEN = ("cite", "certainty", "note", "id", "title", "native")


def fact(name: str, text: str, sheet: Sheet) -> Iterator[Line]:
    """A name in the margin and its text; nothing where the text is empty."""
    if text.strip():
        first = f"  {name}"
        if len(first) >= MARGIN:
            yield ((first, "dim"),)
            first = ""
        yield from block(printable(text), sheet, MARGIN, first=first)


def listed(title: str, texts: Iterable[str], sheet: Sheet) -> Iterator[Line]:
    """A heading and one paragraph a text; nothing where there is none."""
    lines = [line for text in texts for line in block(printable(text), sheet, 6, first="    ")]
    if lines:
        yield ()
        yield ((f"  {title}", "strong"),)
        yield from lines


def said(value: Cited[Any], unit: str = "") -> str:
    """A value with who says so."""
    return f"{shown(value.value)}{f' {unit}' if unit else ''} {vouched(value)}"


def vouched(value: Any) -> str:
    """`[S1, S2; documented]`, with the layer it came from where that is not the profile itself."""
    origin = getattr(value, "origin", "")
    pieces = (", ".join(value.cite), value.certainty.value, f"from {origin}" if origin else "")
    return f"[{'; '.join(piece for piece in pieces if piece)}]"


def shown(value: Any) -> str:
    """A plain value in words."""
    if isinstance(value, tuple):
        return ", ".join(map(shown, value))
    if isinstance(value, Cited):
        return said(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def told(facet: Any) -> Iterator[str]:
    """Every value of a facet: single values by their key, records by their title or id."""
    for item in fields(facet):
        value = getattr(facet, item.name)
        if isinstance(value, Cited):
            note = f" {value.note}" if value.note else ""
            yield f"{_name(item.name)}: {said(value, _unit(item.name))}{note}"
        elif isinstance(value, tuple):
            yield from (_record(one, item.name) for one in value)
        elif hasattr(value, "__dataclass_fields__"):
            yield from told(value)
        elif value not in (None, ""):
            yield f"{_name(item.name)}: {shown(value)}{' ' + _unit(item.name) if _unit(item.name) else ''}"


def _record(one: Any, key: str) -> str:
    if not hasattr(one, "__dataclass_fields__"):
        return f"{_name(key)}: {shown(one)}"
    title = getattr(one, "title", "") or getattr(one, "id", "")
    native = f" ({one.native})" if getattr(one, "native", "") else ""
    rest = [_detail(item.name, getattr(one, item.name)) for item in fields(one) if item.name not in _HIDDEN]
    details = ", ".join(text for text in rest if text)
    note = f" {one.note}" if getattr(one, "note", "") else ""
    head = f"{title}{native}: " if title and details else f"{title}{native}"
    certain = f" {vouched(one)}" if hasattr(one, "certainty") else ""
    return f"{head}{details}.{note}{certain}" if title or details else f"{_name(key)}{certain}"


def _detail(key: str, value: Any) -> str:
    """One field of a record; nothing where it says nothing."""
    if value in (None, "", (), False):
        return ""
    if value is True:
        return _name(key)
    if hasattr(value, "__dataclass_fields__") and not isinstance(value, Cited) and not hasattr(value, "step"):
        return ", ".join(text for text in (_detail(item.name, getattr(value, item.name)) for item in fields(value)) if text)
    unit = _unit(key)
    return f"{_name(key)} {shown(value)}{f' {unit}' if unit else ''}"


def _name(key: str) -> str:
    """A key in words, its unit left out: `change_seconds` is "change"."""
    words = key.split("_")
    if len(words) > 1 and words[-1] in _UNITS:
        words = words[:-1]
    return " ".join(words)


def _unit(key: str) -> str:
    return _UNITS.get(key.split("_")[-1], "")
