"""Where a file departs from the standard's form, in plain words with line numbers: order of elements, values, ids.

W3C MusicXML 4.0 Community Group Report. A small set of the faults that real exports have, not a validation: what is told here the
schema refuses too, but not the other way round. It repairs nothing; the reader has read past all of it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

from lxml import etree

from xmlcheck.model import Notice
from xmlcheck.reader.grid import whole
from xmlcheck.reader.marks import items
from xmlcheck.reader.notices import shown
from xmlcheck.ticks import decimal

_ORDER = {
    "note": (
        "grace cue chord pitch unpitched rest duration tie instrument footnote level voice type dot accidental "
        "time-modification stem notehead notehead-text staff beam notations lyric play listen"
    ),
    "attributes": (
        "footnote level divisions key time staves part-symbol instruments clef staff-details transpose for-part directive "
        "measure-style"
    ),
    "direction": "direction-type offset footnote level voice staff sound listening",
    "barline": "bar-style footnote level wavy-line segno coda fermata ending repeat",
    "backup": "duration footnote level",
    "forward": "duration footnote level voice staff",
    "pitch": "step alter octave",
    "unpitched": "display-step display-octave",
    "clef": "sign line clef-octave-change",
    "transpose": "diatonic chromatic octave-change double",
    "time-modification": "actual-notes normal-notes normal-type normal-dot",
    "score-partwise": "work movement-number movement-title identification defaults credit part-list part",
    "identification": "creator rights encoding source relation miscellaneous",
}
"""Children in the order of the schema, for elements whose children have one."""
_FREE_GRACE = ("grace", "cue", "chord")  # a grace note may have its cue or chord in either order
_NEEDS = {"pitch": ("step", "octave"), "backup": ("duration",), "forward": ("duration",), "transpose": ("chromatic",),
          "direction": ("direction-type",)}  # fmt: skip
_REFERS = frozenset(("part", "instrument", "midi-instrument", "midi-device", "instrument-change", "instrument-link", "play"))
"""Elements whose id names another element's."""
_TOLD_ELSEWHERE = frozenset(("instrument", "instrument-change"))
"""References that the score keeps, so that a rule tells them at their note."""
_NAME = re.compile(r"[^\W\d][\w.\-·]*\Z")  # an XML name without a colon
_DATE = re.compile(r"-?\d{4,}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])(?:Z|[+-]\d\d:\d\d)?\Z")
_ENDING = re.compile(r" *\Z|[1-9]\d*(?:, ?[1-9]\d*)*\Z")
_COLOR = re.compile(r"#[0-9A-F]{6}(?:[0-9A-F]{2})?\Z")
YES_NO = frozenset(("print-object", "print-dot", "print-lyric", "print-spacing", "implicit", "non-controlling", "measure"))


Reported = tuple[etree._Element, str, str]
"""The element, the kind of fault, and what is amiss in words."""


class Faults:
    """The faults of a file: what the reader meets while it reads notes, and what a look at the rest of the tree finds.

    Told as one notice a kind, part and text, with the first line and how many there are. count: all that were added.
    """

    def __init__(self) -> None:
        self.count = 0
        self._found: dict[tuple[str, str, str], tuple[int, str, int]] = {}

    def add(self, element: etree._Element, kind: str, text: str) -> None:
        """Notes a fault of an element."""
        self.count += 1
        part, bar = _place(element)
        line, first_bar, count = self._found.get((kind, part, text), (_line(element), bar, 0))
        self._found[kind, part, text] = line, first_bar, count + 1

    def order(self, element: etree._Element, children: tuple[object, ...]) -> None:
        """Looks at the children of an element, given by their tags."""
        verdict = _order(element.tag, children) if element.tag in _ORDER else ""
        if verdict:
            self.add(element, "order", verdict)

    def text(self, element: etree._Element) -> None:
        """Looks at the text of an element that holds one value of a few."""
        verdict = _CHECKS[str(element.tag)](element.text or "")
        if verdict:
            self.add(element, "value", f"<{element.tag}> is {shown(element.text)}: {verdict}")

    def length(self, element: etree._Element, text: str | None) -> None:
        """Looks at the text of a `<duration>`."""
        number = decimal(text)
        if number is None or number <= 0:
            self.add(element, "value", f"<duration> is {shown(text)}: more than 0")

    def attribute(self, element: etree._Element, name: str, value: str) -> None:
        """Looks at an attribute: yes or no, a color."""
        if name == "color":
            if not _COLOR.match(value):
                self.add(element, "value", f"color of <{element.tag}> is {shown(value)}: # and six or eight digits, capitals")
        elif name in YES_NO and value not in ("yes", "no"):
            self.add(element, "value", f"{name} of <{element.tag}> is {shown(value)}: yes or no")

    def attributes(self, element: etree._Element) -> None:
        """Looks at all attributes of an element."""
        for name, value in items(element):
            self.attribute(element, name, value)

    def empty(self, element: etree._Element) -> None:
        """Looks whether an element that must hold something does."""
        if not len(element):
            self.add(element, "empty", f"a <{element.tag}> is empty")

    def level(self, sound: etree._Element) -> None:
        """Looks at the dynamics of a `<sound>`."""
        level = sound.get("dynamics")
        if level is not None and (decimal(level) is None or level.strip().startswith("-")):
            self.add(sound, "value", f"dynamics of <sound> is {shown(level)}: 0 or more")

    def told(self, root: etree._Element) -> list[Notice]:
        """All faults, those of the header and of ids included."""
        self.order(root, tuple([child.tag for child in root]))
        for header in root.iterchildren("identification", "part-list"):
            for element in header.iter("identification", *_CHECKS):
                if element.tag in _CHECKS:
                    self.text(element)
                else:
                    self.order(element, tuple([child.tag for child in element]))
        for element, kind, text in _ids(root):
            self.add(element, kind, text)
        return [
            Notice(f"schema-{kind}", f"line {line}: {text}" + (f" ({count} times)" if count > 1 else ""), part, bar)
            for (kind, part, text), (line, bar, count) in self._found.items()
        ]

    def ending(self, element: etree._Element) -> None:
        """Looks at the numbers of an `<ending>`."""
        if not _ENDING.match(number := element.get("number", "")):
            self.add(element, "value", f"the number of an ending is {shown(number)}: whole numbers with commas between")


def _line(element: etree._Element) -> int:
    line = element.sourceline
    return line if isinstance(line, int) else 0


def _place(element: etree._Element) -> tuple[str, str]:
    """Part id and bar number of an element, partwise or timewise."""
    part = bar = ""
    for one in (element, *element.iterancestors()):
        if one.tag == "part":
            part = one.get("id", "")
        elif one.tag == "measure":
            bar = one.get("number", "")
    return part, bar


def _ids(root: etree._Element) -> Iterator[Reported]:
    """Ids given twice or not allowed, and references that lead nowhere."""
    ids: set[str] = set()
    references: list[tuple[etree._Element, str]] = []
    found: list[Any] = root.xpath("descendant::*/@id")  # type: ignore[assignment]  # strings that know their element
    for value in found:
        element, id = value.getparent(), str(value)
        if element.tag in _REFERS:
            references.append((element, id))
        elif id in ids:
            yield element, "id", f"the id {shown(id)} is given twice"
        elif not _NAME.match(id):
            yield element, "id", f"the id {shown(id)} is no XML name: it begins with a letter"
        if element.tag not in _REFERS:
            ids.add(id)
    for element, id in references:
        if id not in ids and element.tag not in _TOLD_ELSEWHERE:
            yield element, "id", f"<{element.tag}> names {shown(id)}, which nothing in the file has as its id"
    for element in root.iterfind("part"):
        if element.get("id") is None:
            yield element, "id", "a <part> has no id"


@lru_cache(maxsize=4096)
def _order(tag: str, tags: tuple[object, ...]) -> str:
    """What is amiss with the children of an element; empty where nothing is. Most notes of a file are alike, so it is kept."""
    children = tuple(one for one in tags if isinstance(one, str))  # a comment has a function for its tag
    order = _ORDER[tag].split()
    place = {name: index for index, name in enumerate(order)}
    reached, last = 0, ""
    for child in children:
        at = place.get(child)
        if at is None:
            return f"<{child}> has no place in <{tag}>"
        if at < reached and not (tag == "note" and child in _FREE_GRACE and last in _FREE_GRACE):
            return f"in <{tag}>, <{child}> stands behind <{last}>; the standard has it before"
        reached, last = at, child
    missing = next((name for name in _NEEDS.get(tag, ()) if name not in children), None)
    if missing:
        return f"a <{tag}> has no <{missing}>"
    if tag == "note":
        return _note(children)
    return ""


def _note(children: tuple[str, ...]) -> str:
    if not {"pitch", "unpitched", "rest"} & set(children):
        return "a <note> is neither pitch nor rest"
    if "duration" not in children and "grace" not in children:
        return "a <note> has no <duration>"
    if "duration" in children and "grace" in children:
        return "a grace note has a <duration>"
    if children.count("tie") > 2:
        return "a <note> has more than two ties"
    return "a cue note has a tie" if "cue" in children and "tie" in children else ""


def _between(low: int, high: int) -> Callable[[str], str]:
    def check(text: str) -> str:
        number = whole(text)
        return "" if number is not None and low <= number <= high else f"a whole number from {low} to {high}"

    return check


def _one_of(*names: str) -> Callable[[str], str]:
    def check(text: str) -> str:
        return "" if text.strip() in names else "none of the standard's names"

    return check


_SIGNS = (
    "sharp natural flat double-sharp sharp-sharp flat-flat natural-sharp natural-flat quarter-flat quarter-sharp "
    "three-quarters-flat three-quarters-sharp sharp-down sharp-up natural-down natural-up flat-down flat-up double-sharp-down "
    "double-sharp-up flat-flat-down flat-flat-up arrow-down arrow-up triple-sharp triple-flat slash-quarter-sharp slash-sharp "
    "slash-flat double-slash-flat sharp-1 sharp-2 sharp-3 sharp-5 flat-1 flat-2 flat-3 flat-4 sori koron other"
)
"""Names of accidentals (data type accidental-value)."""
_CHECKS: dict[str, Callable[[str], str]] = {
    "midi-program": _between(1, 128),
    "midi-channel": _between(1, 16),
    "midi-unpitched": _between(1, 128),
    "accidental": _one_of(*_SIGNS.split()),
    "encoding-date": lambda text: "" if _DATE.match(text) else "a date as year-month-day",
}
