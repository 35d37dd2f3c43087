"""Elements as marks: the standard's own names, what they say, and none of their layout."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from lxml import etree

from xmlcheck.model import Mark

LAYOUT = frozenset((
    "default-x", "default-y", "relative-x", "relative-y", "bezier-x", "bezier-y", "bezier-x2", "bezier-y2", "bezier-offset",
    "bezier-offset2", "halign", "valign", "justify", "font-family", "font-size", "color", "dash-length", "space-length",
    "letter-spacing", "line-height", "underline", "overline", "line-through", "rotation", "dir", "end-length", "text-x",
    "text-y", "id",
))  # fmt: skip
"""Attributes that say where and in which face a sign is printed, not what it means. Left out of marks."""

make = lru_cache(maxsize=8192)(Mark)
"""An interned Mark."""


def mark(group: str, element: etree._Element) -> Mark:
    """The mark of an element: its type, number and text; further attributes and children stand in `extra`.

    Children are named by their path, attributes of children follow `@`: `bend-alter`, `tuplet-actual/tuplet-number`,
    `release@offset`.
    """
    kind = number = ""
    extra: tuple[tuple[str, str], ...] = ()
    for name, value in items(element):
        if name in LAYOUT:
            continue
        if name == "type":
            kind = value
        elif name == "number":
            number = value
        else:
            extra += ((name, value),)
    if len(element):
        extra += tuple(_inside(element, ""))
    text = element.text
    return make(group, element.tag, kind, "" if text is None or text.isspace() else text, number, extra)


def items(element: etree._Element) -> list[tuple[str, str]]:
    """The attributes of an element, name and value."""
    return element.items()  # type: ignore[return-value]  # the stubs say str | bytes; a parsed tree holds str


def texts(element: etree._Element) -> dict[object, str]:
    """The texts of an element's children by name. Far cheaper than a search for each name."""
    return {child.tag: child.text or "" for child in element}


def _inside(element: etree._Element, path: str) -> Iterator[tuple[str, str]]:
    for child in element:
        if not isinstance(child.tag, str):
            continue
        name = path + child.tag
        yield name, (child.text or "").strip()
        for key, value in items(child):
            if key not in LAYOUT:
                yield f"{name}@{key}", value
        yield from _inside(child, name + "/")


def letters(group: str, element: etree._Element) -> Mark:
    """The mark of a <dynamics>: its letters joined, as a combined mark such as sf + mp is one sign, sfmp."""
    signs = [child for child in element if isinstance(child.tag, str)]
    value = "".join((sign.text or "").strip() if sign.tag == "other-dynamics" else sign.tag for sign in signs)
    extra = tuple((key, text) for key, text in items(element) if key not in LAYOUT)
    return make(group, "dynamics", "", value, "", extra)
