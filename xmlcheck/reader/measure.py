"""Walks through the bars of a part, and hands each element to its reader."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from lxml import etree

from xmlcheck.reader.attributes import read_attributes
from xmlcheck.reader.barline import read_barline
from xmlcheck.reader.cursor import Cursor, RawMeasure
from xmlcheck.reader.direction import read_direction, read_harmony, read_print, read_sound
from xmlcheck.reader.marks import items, texts
from xmlcheck.reader.note import read_note
from xmlcheck.reader.notices import shown
from xmlcheck.reader.plain import closes, opens

__all__ = ["Anchors", "Bar", "bars", "read_bars"]

_INSTRUCTION: object = etree.PI  # what lxml gives as the tag of a processing instruction
Ordinals = dict[etree._Element, int]


@dataclass(slots=True)
class Anchors:
    """Hands out anchors. In a partwise file reading order is document order and counting will do; else by `ordinals`."""

    ordinals: Ordinals | None = None
    last: int = -1

    def of(self, element: etree._Element) -> int:
        """The anchor of the next anchored element."""
        self.last = self.last + 1 if self.ordinals is None else self.ordinals.get(element, -1)
        return self.last


Bar = tuple[etree._Element | None, etree._Element]
"""One bar of one part: the element that holds its notes, None where the part has none, and the measure with its attributes."""


def bars(root: etree._Element) -> Iterator[tuple[str, etree._Element | None, list[Bar]]]:
    """Each part's id, its element (partwise only) and its bars."""
    if root.tag == "score-partwise":
        for part in root.iterchildren("part"):
            yield part.get("id", ""), part, [(one, one) for one in part.iterchildren("measure")]
        return
    measures = list(root.iterchildren("measure"))
    columns: dict[str, list[Bar]] = {}
    for index, measure in enumerate(measures):
        for part in measure.iterchildren("part"):
            name = part.get("id", "")
            if name not in columns:
                columns[name] = [(None, one) for one in measures]
            columns[name][index] = (part, measure)
    for name, column in columns.items():
        yield name, None, column


def read_bars(column: list[Bar], cursor: Cursor, anchors: Anchors) -> None:
    """Reads the bars of one part in order."""
    for index, (events, measure) in enumerate(column):
        given = dict(items(measure))
        cursor.faults.attributes(measure)
        number = given.get("number", "")
        cursor.measure, cursor.number = index, number or str(index + 1)
        cursor.position = cursor.furthest = cursor.sounded = 0
        cursor.chord_at = cursor.grace_at = -1
        anchor = -1
        if events is not None:
            anchor = anchors.of(events)
            _read_events(events, cursor, anchors)
        cursor.measures.append(
            RawMeasure(
                number=number,
                text=given.get("text", number),
                anchor=anchor,
                implicit=given.get("implicit") == "yes",
                non_controlling=given.get("non-controlling") == "yes",
                filled=cursor.furthest,
                sounded=cursor.sounded,
                nominal=cursor.nominal,
            )
        )


def _read_events(element: etree._Element, cursor: Cursor, anchors: Anchors) -> None:
    ours = False
    ordinals, anchor = anchors.ordinals, anchors.last
    for child in element:
        tag = child.tag
        handler = _ANCHORED.get(tag)
        if handler is not None:
            anchor = anchor + 1 if ordinals is None else ordinals.get(child, -1)
            if not ours:
                handler(child, cursor, anchor)
        elif tag is _INSTRUCTION:
            ours = opens(child) or (ours and not closes(child))
        elif tag in _OTHERS and not ours:
            _OTHERS[tag](child, cursor)
    anchors.last = anchor


def _forward(element: etree._Element, cursor: Cursor, _: int) -> None:
    cursor.advance(_length(element, cursor))


def _backup(element: etree._Element, cursor: Cursor, _: int) -> None:
    cursor.back(_length(element, cursor))


def _length(element: etree._Element, cursor: Cursor) -> int:
    found = texts(element)
    cursor.faults.order(element, tuple(found))
    text = found.get("duration")
    length = 0
    try:
        length = cursor.ticks[text]
    except ValueError:
        cursor.notice("duration", f"the duration of a {element.tag} is {shown(text)}; read as 0")
    own = element.find("duration") if not length else None
    if own is not None:
        cursor.faults.length(own, text)
    return length


def _figured_bass(element: etree._Element, cursor: Cursor) -> None:
    for child in element.iterchildren("duration"):  # the figures take no time of their own: only their form is looked at
        cursor.faults.length(child, child.text)


_ANCHORED: dict[object, Callable[[etree._Element, Cursor, int], None]] = {
    "note": read_note,
    "direction": read_direction,
    "attributes": read_attributes,
    "barline": read_barline,
    "harmony": read_harmony,
    "forward": _forward,
    "backup": _backup,
}
_OTHERS: dict[object, Callable[[etree._Element, Cursor], None]] = {
    "sound": read_sound,
    "print": read_print,
    "figured-bass": _figured_bass,
}
