"""One or two bars of one part as a small score of its own, with clef, key, time and transposition in force carried in.

Works on the document that was checked: the excerpt's notes keep their anchors as ids (`a123`), so that a picture of it can mark
the notes a finding is about.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from lxml import etree

from xmlcheck.document import ANCHORED, Document

LONGEST = 4
"""Bars shown at most: a picture of more is no longer read at a glance."""
_ORDER = (
    "footnote", "level", "divisions", "key", "time", "staves", "part-symbol", "instruments", "clef", "staff-details",
    "transpose", "for-part", "directive", "measure-style",
)  # fmt: skip
"""Children of <attributes> in the order that the standard's schema fixes."""
_SINGLE = ("divisions", "staves", "part-symbol", "instruments")
_STAFFED = ("key", "time", "clef", "staff-details", "transpose", "for-part")
_FIRST_STAFF = ("clef", "staff-details")
"""Without a number these speak of staff 1 (MusicXML 4.0, attributes of clef and staff-details); the others of every staff."""
_LEFT_OUT = ("print", "sound", "listening", "bookmark", "link", "grouping")
_SOUNDING = ("note", "forward", "backup")


@dataclass(frozen=True, slots=True)
class Excerpt:
    """A small partwise score as bytes. ids: of the notes in it. bars: the file's numbers of its bars.

    semitones: sounding minus written pitch, as the transposition in force says, octaves included; 0 without one.
    """

    data: bytes
    ids: frozenset[str]
    bars: tuple[str, ...]
    semitones: float = 0


@dataclass(frozen=True, slots=True)
class _Column:
    """One bar of one part: its element (the part's own in a timewise file) and number, and the <attributes> in it."""

    element: etree._Element
    number: str
    attributes: tuple[etree._Element, ...]
    shifts: tuple[etree._Element, ...]


class Excerpts:
    """Makes excerpts of one document; what does not change is worked out once."""

    def __init__(self, document: Document) -> None:
        self._root = document.root
        self._anchors = {element: number for number, element in enumerate(self._root.iter(*ANCHORED))}
        self._columns = {part: tuple(_columns(self._root, part)) for part in _part_ids(self._root)}

    @property
    def parts(self) -> tuple[str, ...]:
        """Ids of the parts that have bars."""
        return tuple(self._columns)

    def bars(self, part: str) -> tuple[str, ...]:
        """The file's numbers of a part's bars, empty where a bar has none."""
        return tuple(column.number for column in self._columns.get(part, ()))

    @cached_property
    def rehearsals(self) -> dict[int, str]:
        """Rehearsal marks of all parts by bar index."""
        found: dict[int, str] = {}
        for columns in self._columns.values():
            for index, column in enumerate(columns):
                for mark in column.element.iterfind("direction/direction-type/rehearsal"):
                    text = " ".join((mark.text or "").split())
                    if text:
                        found.setdefault(index, text)
        return found

    def measure(self, part: str, anchor: int) -> int | None:
        """The bar index in which an anchored element stands; None where it is in no bar of this part."""
        return self._bar_of.get(part, {}).get(anchor)

    @cached_property
    def _bar_of(self) -> dict[str, dict[int, int]]:
        return {
            part: {
                self._anchors[item]: index for index, column in enumerate(columns) for item in column.element.iter(*ANCHORED)
            }
            for part, columns in self._columns.items()
        }

    def following(self, part: str, anchor: int) -> str | None:
        """The id of the first note at or after an anchored element, in its bar: what a direction before it speaks of."""
        index = self.measure(part, anchor)
        if index is None:
            return None
        notes = (self._anchors[note] for note in self._columns[part][index].element.iter("note"))
        return next((f"a{number}" for number in notes if number >= anchor), None)

    def size(self, part: str, index: int) -> int:
        """How many notes and rests a bar has: what decides whether a picture of it alone is worth looking at."""
        columns = self._columns.get(part, ())
        return sum(1 for _ in columns[index].element.iterchildren("note")) if 0 <= index < len(columns) else 0

    def make(self, part: str, first: int, last: int | None = None) -> Excerpt | None:
        """Bars `first` to `last` (indices) of a part; None where the part has no such bar."""
        columns = self._columns.get(part, ())
        end = min(first + LONGEST - 1, first if last is None else max(first, last), len(columns) - 1)
        if not 0 <= first <= end:
            return None
        score = etree.Element("score-partwise", version="4.0")
        listed = etree.SubElement(etree.SubElement(score, "part-list"), "score-part", id="P1")
        etree.SubElement(listed, "part-name")
        body = etree.SubElement(score, "part", id="P1")
        ids: set[str] = set()
        opening = _opening(columns[first].element)
        held = _in_force([item for column in columns[:first] for item in column.attributes] + opening)
        for index in range(first, end + 1):
            bar = etree.SubElement(body, "measure", number=columns[index].number or str(index + 1))
            if index == first:
                bar.append(held)
                bar.extend(_shifts_in_force(columns[:first]))
            for child in columns[index].element:
                if isinstance(child.tag, str) and child.tag not in _LEFT_OUT and not (index == first and child in opening):
                    bar.append(self._copied(child, ids))
        numbers = tuple(column.number for column in columns[first : end + 1])
        data: bytes = etree.tostring(score, xml_declaration=True, encoding="UTF-8")
        return Excerpt(data, frozenset(ids), numbers, _semitones(held))

    def _copied(self, element: etree._Element, ids: set[str]) -> etree._Element:
        clone = copy.deepcopy(element)
        clone.tail = None
        unwanted = list(clone.iter(etree.ProcessingInstruction, etree.Comment, "instrument", "part-link", "sound"))
        for item in unwanted:
            parent = item.getparent()
            if parent is not None:
                parent.remove(item)
        for item in clone.iter():
            item.attrib.pop("id", "")
        if element.tag == "note":
            name = f"a{self._anchors[element]}"
            clone.set("id", name)
            ids.add(name)
        return clone


def _part_ids(root: etree._Element) -> Iterator[str]:
    if root.tag == "score-partwise":
        yield from dict.fromkeys(part.get("id", "") for part in root.iterchildren("part"))
    else:
        yield from dict.fromkeys(part.get("id", "") for part in root.iterfind("measure/part"))


def _columns(root: etree._Element, id: str) -> Iterator[_Column]:
    """The bars of a part, in either orientation."""
    if root.tag == "score-partwise":
        part = next((item for item in root.iterchildren("part") if item.get("id", "") == id), None)
        for measure in part.iterchildren("measure") if part is not None else ():
            yield _column(measure, measure.get("number", ""))
        return
    for measure in root.iterchildren("measure"):
        for item in measure.iterchildren("part"):
            if item.get("id", "") == id:
                yield _column(item, measure.get("number", ""))
                break


def _column(element: etree._Element, number: str) -> _Column:
    shifts = tuple(element.iterfind("direction/direction-type/octave-shift"))
    return _Column(element, " ".join(number.split()), tuple(element.iterchildren("attributes")), shifts)


def _opening(column: etree._Element) -> list[etree._Element]:
    """The <attributes> of a bar before its first note: they hold from its beginning."""
    found: list[etree._Element] = []
    for child in column:
        if child.tag in _SOUNDING:
            break
        if child.tag == "attributes":
            found.append(child)
    return found


def _in_force(given: Iterable[etree._Element]) -> etree._Element:
    """One <attributes> with what these leave in force, by staff."""
    single: dict[str, etree._Element] = {}
    staffed: dict[str, dict[str, etree._Element]] = {}
    for attributes in given:
        for item in attributes:
            if item.tag in _SINGLE:
                single[item.tag] = item
            elif item.tag in _STAFFED:
                number = item.get("number", "1" if item.tag in _FIRST_STAFF else "")
                held = staffed.setdefault(item.tag, {})
                if not number:
                    held.clear()
                held[number] = item
    result = etree.Element("attributes")
    for name in _ORDER:
        if name in single:
            result.append(_bare(single[name]))
        for number in sorted(staffed.get(name, {})):
            result.append(_bare(staffed[name][number]))
    return result


def _shifts_in_force(columns: Iterable[_Column]) -> Iterator[etree._Element]:
    """Octave lines that began before and still run: their beginning, as a direction."""
    running: dict[str, etree._Element] = {}
    for column in columns:
        for shift in column.shifts:
            if shift.get("type") == "stop":
                running.pop(shift.get("number", "1"), None)
            elif shift.get("type") in ("up", "down"):
                running[shift.get("number", "1")] = shift
    for shift in running.values():
        direction = etree.Element("direction")
        etree.SubElement(direction, "direction-type").append(_bare(shift))
        above = shift.getparent()
        staff = above.getparent().find("staff") if above is not None else None  # type: ignore[union-attr]
        if staff is not None:
            direction.append(_bare(staff))
        yield direction


def _bare(element: etree._Element) -> etree._Element:
    clone = copy.deepcopy(element)
    clone.tail = None
    clone.attrib.pop("id", "")
    return clone


def _semitones(held: etree._Element) -> float:
    """Sounding minus written pitch of the transposition in force; 0 where it is none or no number."""
    transpose = held.find("transpose")
    if transpose is None:
        return 0
    try:
        chromatic = float(transpose.findtext("chromatic") or 0)
        return chromatic + 12 * int(transpose.findtext("octave-change") or 0)
    except ValueError:
        return 0
