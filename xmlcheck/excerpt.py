"""One or two bars of one part as a small score of its own, with clef, key, time and transposition in force carried in.

Works on the document that was checked: the excerpt's notes keep their anchors as ids (`a123`), so that a picture of it can mark
the notes a finding is about.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lxml import etree

from xmlcheck.document import ANCHORED, Document

LONGEST = 4
"""Bars shown at most: a picture of more is no longer read at a glance."""
_ORDER = (
    "footnote", "level", "divisions", "key", "time", "staves", "part-symbol", "instruments", "clef", "staff-details",
    "transpose", "for-part", "directive", "measure-style",
)  # fmt: skip
_SINGLE = ("divisions", "staves", "part-symbol", "instruments")
_STAFFED = ("key", "time", "clef", "staff-details", "transpose", "for-part")


@dataclass(frozen=True, slots=True)
class Excerpt:
    """A small partwise score as bytes, and the ids of the notes in it."""

    data: bytes
    ids: frozenset[str]


class Excerpts:
    """Makes excerpts of one document; anchors are counted once."""

    def __init__(self, document: Document) -> None:
        self._root = document.root
        self._anchors = {element: number for number, element in enumerate(self._root.iter(*ANCHORED))}

    def make(self, part: str, first: int, last: int | None = None) -> Excerpt | None:
        """Bars `first` to `last` (indices) of a part; None where the part has no such bar."""
        columns = list(self._columns(part))
        end = min(first + LONGEST - 1, first if last is None else last, len(columns) - 1)
        if not 0 <= first <= end:
            return None
        score = etree.Element("score-partwise", version="4.0")
        listed = etree.SubElement(etree.SubElement(score, "part-list"), "score-part", id="P1")
        etree.SubElement(listed, "part-name")
        body = etree.SubElement(score, "part", id="P1")
        ids: set[str] = set()
        for index in range(first, end + 1):
            bar = etree.SubElement(body, "measure", number=columns[index].get("number", str(index + 1)))
            if index == first:
                bar.append(_in_force(columns[:index]))
            for child in columns[index]:
                if isinstance(child.tag, str) and child.tag not in ("print", "sound", "listening", "bookmark", "link"):
                    bar.append(self._copied(child, ids))
        return Excerpt(etree.tostring(score, xml_declaration=True, encoding="UTF-8"), frozenset(ids))

    def _columns(self, part: str) -> Iterator[etree._Element]:
        """The bars of a part, in either orientation."""
        if self._root.tag == "score-partwise":
            found = next((item for item in self._root.iterchildren("part") if item.get("id") == part), None)
            yield from found.iterchildren("measure") if found is not None else ()
            return
        for measure in self._root.iterchildren("measure"):
            for item in measure.iterchildren("part"):
                if item.get("id") == part:
                    column = copy.copy(item)
                    column.set("number", measure.get("number", ""))
                    yield item if item.get("number") else _numbered(item, measure)

    def _copied(self, element: etree._Element, ids: set[str]) -> etree._Element:
        clone = copy.deepcopy(element)
        clone.tail = None
        for item in [item for item in clone.iter(etree.ProcessingInstruction, etree.Comment)]:
            parent = item.getparent()
            if parent is not None:
                parent.remove(item)
        for item in clone.iter("instrument", "part-link"):
            parent = item.getparent()
            if parent is not None:
                parent.remove(item)
        for item in clone.iter():
            item.attrib.pop("id", None)
        if element.tag == "note":
            name = f"a{self._anchors.get(element, -1)}"
            clone.set("id", name)
            ids.add(name)
        return clone


def _numbered(item: etree._Element, measure: etree._Element) -> etree._Element:
    item.set("number", measure.get("number", ""))
    return item


def _in_force(columns: Iterable[etree._Element]) -> etree._Element:
    """The <attributes> that hold after these bars, by staff."""
    single: dict[str, etree._Element] = {}
    staffed: dict[str, dict[str, etree._Element]] = {}
    for column in columns:
        for attributes in column.iterchildren("attributes"):
            for item in attributes:
                if item.tag in _SINGLE:
                    single[item.tag] = item
                elif item.tag in _STAFFED:
                    number = item.get("number", "")
                    held = staffed.setdefault(item.tag, {})
                    if not number:
                        held.clear()
                    held[number] = item
    result = etree.Element("attributes")
    for name in _ORDER:
        if name in single:
            result.append(copy.deepcopy(single[name]))
        for number in sorted(staffed.get(name, {})):
            result.append(copy.deepcopy(staffed[name][number]))
    return result
