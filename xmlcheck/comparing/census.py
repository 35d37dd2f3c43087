"""How many of each element a file has: the cheap test that shows whole classes of signs lost on the way."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from lxml import etree

from xmlcheck.reader.plain import OURS, TAG

LAYOUT = frozenset((
    "appearance", "backup", "beam", "credit", "credit-image", "credit-symbol", "credit-type", "credit-words", "creator",
    "defaults", "display-text", "distance", "encoder", "encoding", "encoding-date", "encoding-description", "footnote",
    "forward", "glyph", "group", "identification", "left-divider", "left-margin", "level", "line-width", "lyric-font",
    "measure-distance", "measure-layout", "measure-numbering", "metronome-beam", "millimeters", "miscellaneous",
    "miscellaneous-field", "movement-number", "movement-title", "music-font", "note-size", "opus", "other-appearance",
    "page-height", "page-layout", "page-margins", "page-width", "part", "print", "relation", "right-divider", "right-margin",
    "rights", "scaling", "software", "source", "staff-distance", "staff-layout", "staff-size", "stem", "supports",
    "system-distance", "system-dividers", "system-layout", "system-margins", "tenths", "top-margin", "top-system-distance",
    "bottom-margin", "word-font", "work", "work-number", "work-title", "voice", "divisions", "duration", "attributes",
    "score-partwise", "score-timewise",
))  # fmt: skip
"""Elements of which more or fewer say nothing about the music: layout, the file itself, and how time is counted."""


@dataclass(frozen=True, slots=True)
class Census:
    """One element that became fewer: its name and how many there are in each file."""

    element: str
    old: int
    new: int


def counted(root: etree._Element) -> Counter[str]:
    """Elements by name. Marks of this tool are left out, also where another program kept their words only."""
    counts = Counter(element.tag for element in root.iter() if isinstance(element.tag, str))
    for element in (*root.iter("direction"), *root.iter("miscellaneous-field")):
        if _ours(element):
            counts -= Counter(one.tag for one in element.iter() if isinstance(one.tag, str))
    return counts


def _ours(element: etree._Element) -> bool:
    if element.tag == "miscellaneous-field":
        return element.get("name") == OURS
    return any((words.text or "").lstrip().startswith(TAG) for words in element.iter("words"))


def fewer(old: etree._Element, new: etree._Element) -> tuple[Census, ...]:
    """The elements that became fewer, those that vanished first, then by how many are missing."""
    before, after = counted(old), counted(new)
    found = [Census(name, count, after[name]) for name, count in before.items() if after[name] < count and name not in LAYOUT]
    return tuple(sorted(found, key=lambda one: (one.new > 0, one.new - one.old, one.element)))
