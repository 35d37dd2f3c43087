"""Writes whole scores: valid MusicXML 4.0 by the W3C schema, made from a pen's choices alone."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy

from lxml import etree

from tests.fuzz import vocabulary
from tests.fuzz.bars import Staves, measure
from tests.fuzz.grow import Grower
from tests.fuzz.notes import Line, child
from tests.fuzz.pen import Pen

TAME: dict[str, tuple[str, ...]] = {
    "<divisions>": ("1", "2", "4", "12", "480", "10080"),
    "semitones": ("0", "1", "-1", "0.5", "-0.5", "2", "-2"),
    "key-alter": ("1", "-1"),
    "chromatic": ("0", "-2", "-7", "3", "-9", "2"),
    "line": ("2", "4", "3"),
    "accidental-value": ("sharp", "natural", "flat", "quarter-flat", "quarter-sharp"),
    "clef-sign": ("G", "F", "C"),
    "clef-octave-change": ("0",),
    "divisions": ("1", "2", "480"),
    "per-minute": ("120", "60"),
    "fifths": ("0", "1", "-4", "7"),
}
"""Values that other readers take too: music21 stops at many that the standard allows (an alteration of 0.37, half a division)."""
VERSIONS = ("4.0", "3.1", "3.0", "2.0", "1.0")


def score(
    pen: Pen, parts: int = 3, bars: int = 6, rich: int = 25, pools: Mapping[str, tuple[str, ...]] | None = None
) -> etree._Element:
    """A partwise or timewise score of at most so many parts and bars. rich: percent of what may be there that is.

    pools: values in place of the vocabulary's, such as TAME.
    """
    grower = Grower(pen, rich=rich, pools=pools or {})
    listed = [_listed(grower, number) for number in range(1, pen.number(1, parts) + 1)]
    grower.makers["part-list"] = lambda: _part_list(grower, listed)
    root = etree.Element("score-partwise", {"version": pen.pick(VERSIONS)})
    root.extend(grower.group("score-header"))
    count = pen.number(1, bars)
    for one in listed:
        part = child(root, "part")
        part.set("id", one.get("id", ""))
        lines = _staves(pen)
        for index in range(count if pen.maybe(95) else pen.number(1, bars)):
            part.append(measure(grower, lines, index, index == count - 1))
    return _timewise(root) if pen.maybe(15) else root


def _staves(pen: Pen) -> Staves:
    staves = pen.pick((1, 1, 1, 2, 3))
    unpitched = pen.maybe(10)
    count = max(staves, pen.pick((1, 1, 2, 3, 4)))
    names = ("1", "2", "3", "4") if pen.maybe(90) else ("", "soprano", "1 ", "-")
    return Staves(
        staves, [Line(names[index], 1 + index % staves, pen.pick((4, 3, 5, 2, 6)), unpitched) for index in range(count)]
    )


def _listed(grower: Grower, number: int) -> etree._Element:
    """A score-part with an instrument's name, and its instruments' ids ready to be referred to."""
    pen = grower.pen
    grower.makers["part-name"] = lambda: _named(pen)
    grower.makers["score-instrument"] = lambda: _instrument(grower, number)
    made = grower.element("score-part", id_=f"P{number}")
    for one in made.iter("midi-instrument", "midi-device"):
        if one.get("id") and made.find("score-instrument") is not None:
            one.set("id", pen.pick([each.get("id", "") for each in made.iter("score-instrument")]))
    return made


def _named(pen: Pen) -> etree._Element:
    made = etree.Element("part-name")
    made.text = pen.pick(vocabulary.headings()) + pen.pick(("", "", "", " 1", " I.II", " (solo)", " in A", " a 2", "\n2"))
    return made


def _instrument(grower: Grower, number: int) -> etree._Element:
    id = grower.pen.new_id(f"P{number}-I")
    grower.references.append(id)
    return grower.element("score-instrument", id_=id)


def _part_list(grower: Grower, listed: list[etree._Element]) -> etree._Element:
    """The list, with groups that open and close, or forget to."""
    made = etree.Element("part-list")
    for index, one in enumerate(listed):
        if index and grower.pen.maybe(25):
            made.append(grower.element("part-group", type_=grower.pen.pick(("start", "stop"))))
        made.append(one)
    if grower.pen.maybe(25):
        made.append(grower.element("part-group", type_="stop"))
    return made


def _timewise(root: etree._Element) -> etree._Element:
    """The same music bar by bar."""
    turned = etree.Element("score-timewise", {"version": root.get("version", "1.0")})
    parts = root.findall("part")
    turned.extend([one for one in root if one.tag != "part"])
    for column in range(max(len(part) for part in parts)):
        own = [(part.get("id", ""), part[column]) for part in parts if column < len(part)]
        shared = child(turned, "measure")
        for name, value in own[0][1].attrib.items():
            shared.set(name, value)
        for id, bar in own:
            cell = child(shared, "part")
            cell.set("id", id)
            cell.extend(deepcopy(list(bar)))
    return turned
