"""Writes the bars of a part: attributes, voices one after another with backup and forward between, and all that stands between."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from tests.fuzz.grow import Grower
from tests.fuzz.notes import Line, child, grace, note

BETWEEN = (
    "direction", "direction", "direction", "harmony", "sound", "attributes", "figured-bass", "print", "barline", "listening",
    "grouping", "link", "bookmark",
)  # fmt: skip
"""What may stand anywhere in a bar (group music-data of MusicXML 4.0); the plainest and most usual first."""
DIVISIONS = ("1", "2", "4", "12", "480", "10080", "7", "0.5", "1.5", "1000000", "24")


@dataclass
class Staves:
    """One part while it is written: its staves, voices, divisions, and the length of a full bar in quarter notes."""

    staves: int
    lines: list[Line]
    divisions: Fraction = Fraction(1)
    bar: Fraction = Fraction(4)
    made: list[etree._Element] = field(default_factory=list)


def measure(grower: Grower, part: Staves, index: int, last: bool) -> etree._Element:
    """One bar."""
    pen = grower.pen
    made = etree.Element("measure")
    number = str(index + 1) if pen.maybe(90) else pen.pick(("0", "X1", "", "1", "12a"))
    grower.attributes(made, "measure", {"number": number})
    if index and pen.maybe(12):
        made.append(grower.element("barline", location="left"))
    if index == 0 or pen.maybe(10):
        made.append(_attributes(grower, part, index == 0))
    if pen.maybe(5):
        made.extend(_style(grower))
    length = part.bar if pen.maybe(88) else pen.pick((Fraction(1), part.bar / 2, part.bar * 3 / 2, Fraction(0)))
    at = Fraction(0)
    for line in part.lines:
        if at:
            made.append(_move("backup", at, part))
        at = _voice(grower, part, line, made, length)
    if last or pen.maybe(15):
        made.append(grower.element("barline", location="right"))
    return made


def _voice(grower: Grower, part: Staves, line: Line, made: etree._Element, length: Fraction) -> Fraction:
    """Fills the bar, or some of it, with one voice; returns where it ends."""
    pen, at = grower.pen, Fraction(0)
    while at < length and len(made) < 60:
        for _ in range(3):
            if pen.maybe(grower.rich // 2):
                made.append(grower.element(pen.pick(BETWEEN)))
        step = min(pen.pick(_STEPS), length - at)
        if pen.maybe(6):
            made.append(_move("forward", step, part))
        else:
            if pen.maybe(6):
                made.extend(grace(grower, line, part.staves, chord) for chord in (False, True)[: pen.number(1, 2)])
            made.append(note(grower, line, _text(step, part), step, part.staves))
            while made[-1].find("rest") is None and pen.maybe(15):
                made.append(note(grower, line, _text(step, part), step, part.staves, chord=True))
        at += step
        if pen.maybe(5):
            break
    return at


_STEPS = tuple(
    Fraction(*pair)
    for pair in ((1, 1), (1, 2), (2, 1), (1, 4), (3, 2), (4, 1), (1, 3), (2, 3), (1, 5), (1, 8), (3, 1), (2, 7), (5, 4))
)


def _text(quarters: Fraction, part: Staves) -> str:
    """A duration in divisions, exact where decimals can say it."""
    value = quarters * part.divisions
    if value.denominator == 1:
        return str(value.numerator)
    return f"{float(value):.12f}".rstrip("0")


def _move(tag: str, quarters: Fraction, part: Staves) -> etree._Element:
    made = etree.Element(tag)
    child(made, "duration", _text(quarters, part))
    return made


def _attributes(grower: Grower, part: Staves, first: bool) -> etree._Element:
    """Attributes by hand where they must fit the bars, grown for the rest."""
    pen = grower.pen
    made = etree.Element("attributes")
    divisions = pen.pick(grower.pools.get("<divisions>", DIVISIONS))
    part.divisions = Fraction(divisions)
    child(made, "divisions", divisions)
    made.extend([grower.element("key") for _ in range(pen.number(0, 1))])
    if first or pen.maybe(50):
        time = grower.element("time")
        made.append(time)
        part.bar = _bar(time) or part.bar
    if first and part.staves > 1:
        child(made, "staves", str(part.staves))
    if pen.maybe(10):
        made.append(grower.element("instruments"))
    made.extend([grower.element("clef", number=str(pen.number(1, part.staves))) for _ in range(pen.number(0, 2))])
    made.extend([grower.element("staff-details") for _ in range(pen.number(0, 1)) if pen.maybe(30)])
    if pen.maybe(25):
        made.append(grower.element("transpose"))
    elif pen.maybe(10):
        made.append(grower.element("for-part"))
    if pen.maybe(5):
        made.append(grower.element("directive", "xs:string"))
    return made


def _style(grower: Grower) -> list[etree._Element]:
    made = etree.Element("attributes")
    made.append(grower.element("measure-style"))
    return [made]


def _bar(time: etree._Element) -> Fraction | None:
    """The length of a bar, for the common forms of a time signature; None where it stays as it is."""
    beats, unit = time.findtext("beats"), time.findtext("beat-type")
    if not beats or not unit or len(time.findall("beats")) > 1:
        return None
    length = Fraction(sum(int(one) for one in beats.split("+")) * 4, int(unit))
    return length if length <= 8 else None
