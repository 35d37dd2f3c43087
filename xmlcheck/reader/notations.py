"""Everything inside `<notations>`, and a note's `<play>`, as marks."""

from __future__ import annotations

from lxml import etree

from xmlcheck.model import Harmonic, Mark
from xmlcheck.reader.marks import letters, mark

GROUPS = frozenset(("articulations", "technical", "ornaments"))
_HEADS = {"base-pitch": "base", "touching-pitch": "touching", "sounding-pitch": "sounding"}
_EDITORIAL = ("footnote", "level")


def read_notations(element: etree._Element, found: list[Mark]) -> Harmonic | None:
    """Adds the marks of one `<notations>` to `found` and tells the harmonic among them.

    An unknown element is a mark by its own name.
    """
    harmonic = None
    for child in element:
        tag = child.tag
        if tag in GROUPS:
            for sign in child:
                if isinstance(sign.tag, str):
                    found.append(mark(tag, sign))
                    if sign.tag == "harmonic":
                        harmonic = read_harmonic(sign)
        elif tag == "dynamics":
            found.append(letters("notations", child))
        elif tag in _EDITORIAL:
            found.append(mark("editorial", child))
        elif isinstance(tag, str):
            found.append(mark("notations", child))
    return harmonic


def read_harmonic(element: etree._Element) -> Harmonic:
    """What a `<harmonic>` says: natural or artificial, and which of the three pitches its notehead is."""
    kind = head = ""
    for child in element:
        if child.tag in ("natural", "artificial"):
            kind = child.tag
        elif child.tag in _HEADS:
            head = _HEADS[child.tag]
    return Harmonic(kind, head)


def read_play(element: etree._Element) -> list[tuple[str, str]]:
    """The items of a `<play>` in order: ("mute", "straight"), ("ipa", ...), ("other-play", ...); ("id", ...) first."""
    items = [("id", element.get("id", ""))] if element.get("id") else []
    for child in element:
        if isinstance(child.tag, str):
            kind = child.get("type")
            items.append((child.tag, f"{kind}: {child.text or ''}" if kind else (child.text or "").strip()))
    return items
