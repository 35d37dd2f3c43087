"""Writes notes: pitch, unpitched or rest, chords, grace and cue notes, tuplets, ties, and all that may hang on a note."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lxml import etree

from tests.fuzz.grow import Grower
from tests.fuzz.schema import options

VALUES = {
    Fraction(4): "whole", Fraction(2): "half", Fraction(1): "quarter", Fraction(1, 2): "eighth", Fraction(1, 4): "16th",
    Fraction(1, 8): "32nd", Fraction(8): "breve",
}  # fmt: skip
_HANGING = ("stem", "notehead", "notehead-text", "beam", "notations", "lyric", "play", "listen")
"""Children behind the staff, in the order of the schema. What a note type holds stands in MusicXML 4.0, element note."""


@dataclass
class Line:
    """One voice of a part. reach: octaves about which it moves. tied: the pitch that a tie has opened, as its element."""

    voice: str
    staff: int
    octave: int = 4
    unpitched: bool = False
    tied: etree._Element | None = None


def child(parent: etree._Element, tag: str, text: str | None = None) -> etree._Element:
    """A new last child with this text."""
    made = etree.SubElement(parent, tag)
    made.text = text
    return made


def note(grower: Grower, line: Line, duration: str, quarters: Fraction, staves: int, chord: bool = False) -> etree._Element:
    """A note, chord note or rest that takes its time. duration: its text; quarters: the same in quarter notes."""
    pen = grower.pen
    made = etree.Element("note")
    grower.attributes(made, "note")
    cue = pen.maybe(3)
    if cue:
        child(made, "cue")
    if chord:
        child(made, "chord")
    tied = line.tied if not chord else None
    line.tied = None if not chord else line.tied
    if tied is not None:
        made.append(_copy(tied))
    elif not chord and pen.maybe(15):
        made.append(grower.element("rest"))
    else:
        made.append(_sound(grower, line))
    child(made, "duration", duration)
    kinds = []
    if not cue and made.find("rest") is None:
        kinds = ["stop"] if tied is not None else []
        if not chord and pen.maybe(12):
            kinds.append("start")
            line.tied = made.find("pitch")
        for kind in kinds:
            child(made, "tie").set("type", kind)
    _rest_of_it(grower, made, line, quarters, staves, kinds)
    return made


def grace(grower: Grower, line: Line, staves: int, chord: bool = False) -> etree._Element:
    """A grace note, or a cue-size one."""
    made = etree.Element("note")
    grower.attributes(made, "note")
    made.append(grower.element("grace"))
    if grower.pen.maybe(5):
        child(made, "cue")
    if chord:
        child(made, "chord")
    made.append(_sound(grower, line))
    _rest_of_it(grower, made, line, Fraction(1, 2), staves, [])
    return made


def _copy(element: etree._Element) -> etree._Element:
    copied = etree.Element(element.tag)
    for one in element:
        child(copied, str(one.tag), one.text)
    return copied


def _sound(grower: Grower, line: Line) -> etree._Element:
    pen = grower.pen
    if line.unpitched or pen.maybe(2):
        return grower.element("unpitched")
    made = etree.Element("pitch")
    child(made, "step", pen.pick("CDEFGAB"))
    if pen.maybe(25):
        child(made, "alter", grower.value("semitones"))
    octave = line.octave + pen.pick((0, 0, 0, 1, -1, 2, -2))
    child(made, "octave", str(min(9, max(0, octave))))
    return made


def _rest_of_it(grower: Grower, made: etree._Element, line: Line, quarters: Fraction, staves: int, ties: list[str]) -> None:
    """What follows the ties, in order."""
    pen = grower.pen
    if grower.references and pen.maybe(20):
        child(made, "instrument").set("id", pen.pick(grower.references))
    made.extend([grower.element(name) for name in ("footnote", "level") if pen.maybe(2)])
    if line.voice:
        child(made, "voice", line.voice)
    kind, dots, ratio = _looks(quarters)
    if kind and (ratio is not None or pen.maybe(80)):
        child(made, "type", kind)
        for _ in range(dots):
            child(made, "dot")
    elif pen.maybe(30):
        made.append(grower.element("type"))
    if pen.maybe(15):
        made.append(grower.element("accidental"))
    if ratio is not None:
        modification = child(made, "time-modification")
        child(modification, "actual-notes", str(ratio[0]))
        child(modification, "normal-notes", str(ratio[1]))
    elif pen.maybe(3):
        made.append(grower.element("time-modification"))
    hanging = [(name, grower.element(name)) for name in _HANGING if pen.maybe(grower.rich // 3)]
    if pen.maybe(grower.rich // 2):
        hanging.append(("notations", _signs(grower)))
        hanging.sort(key=lambda pair: _HANGING.index(pair[0]))
    early = [one for name, one in hanging if name in _HANGING[:3]]
    made.extend(early)
    if staves > 1 or pen.maybe(10):
        child(made, "staff", str(line.staff))
    made.extend([one for name, one in hanging if name not in _HANGING[:3]])
    if ties or ratio is not None:
        notations = etree.Element("notations")
        for tie in ties:
            child(notations, "tied").set("type", tie)
        if ratio is not None:
            notations.append(grower.element("tuplet"))
        place = next((one for one in made if one.tag in ("lyric", "play", "listen")), None)
        if place is None:
            made.append(notations)
        else:
            place.addprevious(notations)


def _signs(grower: Grower) -> etree._Element:
    """Notations with at least one sign of how the note is played, which grown ones often lack."""
    made = etree.Element("notations")
    kind = child(made, grower.pen.pick(("technical", "articulations", "ornaments")))
    for _ in range(grower.pen.number(1, 3)):
        kind.append(grower.element(*grower.pen.pick(options(str(kind.tag)))))
    return made


def _looks(quarters: Fraction) -> tuple[str, int, tuple[int, int] | None]:
    """Note value, dots and tuplet ratio for a length; no value where none of the usual ones fits."""
    for length, name in VALUES.items():
        if length == quarters:
            return name, 0, None
        if length * Fraction(3, 2) == quarters:
            return name, 1, None
        for actual, normal in ((3, 2), (5, 4), (7, 4)):
            if length * normal / actual == quarters:
                return name, 0, (actual, normal)
    return "", 0, None
