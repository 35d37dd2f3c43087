"""A facet as an empty table of a profile: its keys, what they mean and in which unit, and a blank for every value.

Everything is taken from the facet's own class: docstring, type hints, and which keys may be left out.
"""

from __future__ import annotations

import textwrap
import types
from collections.abc import Collection, Iterator, Mapping
from dataclasses import MISSING, Field, fields
from decimal import Decimal
from typing import Any, Union, get_args, get_origin, get_type_hints

from xmlcheck.authoring.blanks import LIST, TEXT
from xmlcheck.cited import Cited
from xmlcheck.finding import Certainty
from xmlcheck.pitch import Pitch

WIDTH = 118
UNITS = {
    "seconds": "seconds",
    "mm": "millimetres",
    "cents": "cents (a semitone has 100)",
    "semitones": "semitones",
    "percent": "percent",
}
"""What the last word of a key says about its unit."""
_PLAIN: dict[Any, str] = {
    Pitch: 'a sounding pitch such as "Bb3" (middle C is C4)',
    int: "a whole number",
    float: "a number",
    Decimal: "a number",
    bool: "true or false",
    str: "a text in quotes",
    Certainty: "documented, player, memory or conflicting",
}
_VOUCHED = f"cite = {LIST}, certainty = {TEXT}"
OFF = "#"
"""Opens a line that may be left out; a space follows the sign where it opens an explanation."""


def remark(text: str) -> Iterator[str]:
    """An explanation as comment lines."""
    for paragraph in text.split("\n\n"):
        yield from (f"# {line}" for line in textwrap.wrap(" ".join(paragraph.split()), WIDTH))


def table(kind: type, meanings: Mapping[str, str], stated: Collection[str], like: Mapping[str, str]) -> Iterator[str]:
    """The lines of one facet's table.

    meanings: by key, where the published schema has them. stated: keys that are asked for though the class lets them be left
    out. like: by key, what a sibling has there, to show the form of the value.
    """
    hints = get_type_hints(kind)
    key = str(kind.FACET)  # type: ignore[attr-defined]
    yield from remark(kind.__doc__ or "")
    single = [item for item in fields(kind) if _record_kind(hints[item.name]) is None]
    if single:
        yield f"[{key}]"
    for item in single:
        inner = _inner(hints[item.name])
        yield from remark(
            "; ".join((*_one(meanings.get(item.name, "")), meaning(item.name, inner), *_one(like.get(item.name, ""))))
        )
        yield f"{'' if _required(item) or item.name in stated else OFF}{item.name} = {_blank(inner)}"
    for item in fields(kind):
        record = _record_kind(hints[item.name])
        if record is not None:
            yield ""
            yield from _records(
                f"{key}.{item.name}", record, _required(item), meanings.get(item.name, ""), like.get(item.name, "")
            )


def meaning(name: str, kind: Any) -> str:
    """What kind of value a key takes, with its unit."""
    kind = get_args(kind)[0] if get_origin(kind) is Cited else kind
    if get_origin(kind) is tuple:
        return f"a list in brackets, each {meaning(name, get_args(kind)[0])}"
    unit = UNITS.get(name.split("_")[-1], "") if kind in (int, float, Decimal) else ""
    return f"{_PLAIN.get(kind, 'a table')}{f' of {unit}' if unit else ''}"


def _records(header: str, kind: type, wanted: bool, says: str, like: str) -> Iterator[str]:
    """One record of a list, to be repeated; switched off as a whole where the list may be empty."""
    off = "" if wanted else OFF
    hints = get_type_hints(kind)
    yield from remark(f"{says} One block for each; copy it for more. {kind.__doc__ or ''}".strip())
    yield from remark(like)
    yield f"{off}[[{header}]]"
    for item in fields(kind):
        inner = _inner(hints[item.name])
        vouches = item.name in ("cite", "certainty")
        if not vouches and inner is not str:
            yield from remark(f"{item.name}: {meaning(item.name, inner)}")
        yield f"{off or ('' if _required(item) or vouches else OFF)}{item.name} = {_blank(inner)}"


def _blank(kind: Any) -> str:
    """A blank in the form of the value."""
    if get_origin(kind) is Cited:
        return f"{{ value = {_blank(get_args(kind)[0])}, {_VOUCHED} }}"
    if get_origin(kind) is tuple:
        return f"[{_blank(get_args(kind)[0])}]"
    if hasattr(kind, "__dataclass_fields__") and kind is not Pitch:
        hints = get_type_hints(kind)
        needed = [item for item in fields(kind) if _required(item) or item.name in ("cite", "certainty")]
        return f"{{ {', '.join(f'{item.name} = {_blank(_inner(hints[item.name]))}' for item in needed)} }}"
    return TEXT


def _inner(hint: Any) -> Any:
    """The type that is not None."""
    if get_origin(hint) in (Union, types.UnionType):
        return next(arg for arg in get_args(hint) if arg is not type(None))
    return hint


def _record_kind(hint: Any) -> type | None:
    """The class of a list's records, None where the value is no list of records."""
    inner = _inner(hint)
    element = get_args(inner)[0] if get_origin(inner) is tuple else None
    return element if hasattr(element, "__dataclass_fields__") and element is not Pitch else None


def _required(item: Field[Any]) -> bool:
    return item.default is MISSING and item.default_factory is MISSING


def _one(text: str) -> tuple[str, ...]:
    return (text.rstrip("."),) if text else ()
