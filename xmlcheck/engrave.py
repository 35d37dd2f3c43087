"""Pictures of excerpts: verovio engraves, the notes concerned are marked by a shape, a line down to each, and a label.

Needs the extra `report`; without it every picture is None and the same is told in words. Verovio runs in a child process: a
score that ends it costs one picture. Whoever makes several opens `with child():` around them, for one process instead of many.
What verovio draws is taken over by an allow-list of elements and attributes, so nothing that a file's texts may hold becomes more
than a text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec
from typing import Any

from lxml import etree

from xmlcheck import ink
from xmlcheck.engrave_apart import Lost
from xmlcheck.engrave_apart import child as child
from xmlcheck.excerpt import Excerpt
from xmlcheck.finding import Grade

COLOURS = {Grade.HALT: "#7B2D6B", Grade.QUERY: "#1F5FA8", Grade.TIDY: "#2E7D76"}
SPACE = 180
"""A staff space in the picture's own units."""
_SCALE = 0.04
"""Pixels of the page for one unit: a staff is 29 pixels high, about as in a printed part."""
_SIZE, _HEAD = 170, 226
"""Side of a mark; width of a note head."""
_LETTER = 0.52
"""Width of a letter against its size, on average: a label must not run out of the picture."""


@dataclass(frozen=True, slots=True)
class Mark:
    """What a finding marks in a picture: ids of notes, its grade, and the text of the label.

    grade: None marks a change, which is no finding: a hollow diamond in the ink's own colour. at: id of the note over which the
    label stands where no note of `notes` is in the picture; that note is not marked itself.
    """

    notes: tuple[str, ...]
    grade: Grade | None
    text: str
    at: str | None = None


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG image and the outlines of the signs it uses, by name, which one page holds once for all its pictures.

    marked: ids of the notes that are marked in it.
    """

    svg: str
    glyphs: Mapping[str, str]
    marked: tuple[str, ...]

    def alone(self) -> str:
        """The image with its own outlines, for a file of its own."""
        opening, sign, rest = self.svg.partition(">")
        return f"{opening} xmlns='http://www.w3.org/2000/svg'{sign}{outlines(self.glyphs)}{rest}"


def outlines(glyphs: Mapping[str, str]) -> str:
    """The definitions that the pictures of one page refer to."""
    paths = "".join(f'<path id="{name}" transform="scale(1,-1)" d="{d}"/>' for name, d in sorted(glyphs.items()))
    return f"<defs>{paths}</defs>"


def available() -> bool:
    """Whether pictures can be made here."""
    return _toolkit() is not None


def picture(excerpt: Excerpt, marks: Iterable[Mark], title: str) -> Picture | None:
    """The excerpt engraved, with its marks; title is read out in place of the picture. None where it cannot be drawn.

    Every note keeps its id as `data-note`; each mark names the notes it stands for in `data-marks`.
    """
    try:
        drawn = _drawn(excerpt.data)
    except Lost:
        return None
    if drawn is None:
        return None
    under, over = etree.Element("g"), etree.Element("g")
    marked: list[str] = []
    widest, row = drawn.width, 0
    for mark in marks:
        notes = [name for name in mark.notes if name in drawn.heads]
        places = notes or [name for name in (mark.at or "",) if name in drawn.heads]
        if places:
            marked += notes
            widest = max(widest, _draw(mark, notes, places, drawn, row, under, over))
            row += 1
    above = drawn.top - (row + 0.5) * _ROW if row else drawn.top
    root = etree.Element("svg", role="img")
    root.set("class", "music")
    box = (drawn.left, above, widest - drawn.left, drawn.bottom - above)
    root.set("viewBox", " ".join(f"{value:.0f}" for value in box))
    root.set("width", f"{box[2] * _SCALE:.0f}")
    root.set("height", f"{box[3] * _SCALE:.0f}")
    etree.SubElement(root, "title").text = ink.plain(title)
    start, end = etree.tostring(root, encoding="unicode").rsplit("</svg>", 1)[0], "</svg>"
    body = f'<g fill="currentColor" stroke="currentColor">{drawn.body}</g>' if drawn.body else ""
    return Picture(f"{start}{_inner(under)}{body}{_inner(over)}{end}", drawn.glyphs, tuple(marked))


def lost(excerpt: Excerpt) -> str:
    """Why the engraver made no picture of this excerpt, as a sentence for the page; empty where it did not fail over it.

    Known within the `with child():` in which the picture was asked for.
    """
    with child() as engraver:
        return engraver.lost.get(excerpt.data, "")


def clefs() -> Mapping[str, str]:
    """Outlines of the treble and the bass clef, `G` and `F`, for pictures drawn by others; empty without verovio."""
    note = "<note><rest measure='yes'/><duration>4</duration></note>"
    signs = (("G", 2, "gE050"), ("F", 4, "gE062"))
    found: dict[str, str] = {}
    with child(), suppress(Lost):
        for sign, line, name in signs:
            clef = f"<attributes><divisions>1</divisions><clef><sign>{sign}</sign><line>{line}</line></clef></attributes>"
            score = (
                "<score-partwise><part-list><score-part id='P1'><part-name/></score-part></part-list>"
                f"<part id='P1'><measure number='1'>{clef}{note}</measure></part></score-partwise>"
            )
            drawn = _drawn(score.encode())
            if drawn is not None and name in drawn.glyphs:
                found[sign] = drawn.glyphs[name]
    return found


_ROW = 330
"""Height of a row of labels."""


def _draw(mark: Mark, notes: list[str], places: list[str], drawn: ink.Drawing, row: int, under: Any, over: Any) -> float:
    """Puts one mark into the picture, over its places; returns how far to the right its label reaches."""
    colour = COLOURS[mark.grade] if mark.grade is not None else "currentColor"
    place, name = drawn.top - (row + 0.85) * _ROW, _name(mark.grade)
    columns: dict[int, list[float]] = {}
    for note in places:
        x, y = drawn.heads[note]
        columns.setdefault(round(x), []).append(y)
        if note in notes:
            under.append(_behind(mark.grade, colour, note, x, y))
    group = etree.SubElement(over, "g")
    group.set("class", f"mark {name}")
    group.set("data-marks", " ".join(notes))
    for x, heights in sorted(columns.items()):
        centre = x + _HEAD / 2
        line = {"x1": f"{centre:g}", "x2": f"{centre:g}", "y1": f"{place + _SIZE:g}", "y2": f"{min(heights) - 100:g}"}
        etree.SubElement(group, "line", {**line, "stroke": colour, "stroke-width": "11", "stroke-dasharray": "40 34"})
        group.append(_shape(mark.grade, colour, centre, place))
    first = min(columns)
    size, text = 250, ink.plain(mark.text)
    length = len(text) * size * _LETTER
    # The label begins after the first shape; where shapes follow at once it would lie on them, so it stands before or after all.
    others = [x for x in sorted(columns) if x > first]
    start = first + _HEAD + 90.0
    if others and others[0] < start + length + 60:
        start = max(columns) + _HEAD + 90.0
    label = etree.SubElement(group, "text", {"x": f"{start:g}", "y": f"{place + _SIZE:g}", "font-size": f"{size}"})
    label.set("fill", colour)
    label.text = text
    return start + length + 60


def _name(grade: Grade | None) -> str:
    return grade.value if grade is not None else "change"


def _shape(grade: Grade | None, colour: str, centre: float, top: float) -> Any:
    """A filled square, a hollow circle or a short dash; a hollow diamond for a change."""
    if grade is None:
        half = _SIZE / 2
        d = f"M{centre:g} {top:g}l{half:g} {half:g}l{-half:g} {half:g}l{-half:g} {-half:g}z"
        return etree.Element("path", {"d": d, "fill": "none", "stroke": colour, "stroke-width": "26"})
    if grade is Grade.HALT:
        side = {"x": f"{centre - _SIZE / 2:g}", "y": f"{top:g}", "width": f"{_SIZE}", "height": f"{_SIZE}"}
        return etree.Element("rect", {**side, "fill": colour})
    if grade is Grade.QUERY:
        circle = {"cx": f"{centre:g}", "cy": f"{top + _SIZE / 2:g}", "r": f"{_SIZE / 2 - 14:g}"}
        return etree.Element("circle", {**circle, "fill": "none", "stroke": colour, "stroke-width": "30"})
    dash = {"x": f"{centre - _SIZE / 2:g}", "y": f"{top + _SIZE / 2:g}", "width": f"{_SIZE}", "height": "36"}
    return etree.Element("rect", {**dash, "fill": colour})


def _behind(grade: Grade | None, colour: str, note: str, x: float, y: float) -> Any:
    """A pale field behind a note head, which keeps its own colour: square, round, or a bar under it."""
    centre = x + _HEAD / 2
    if grade is Grade.QUERY or grade is None:
        form = etree.Element("ellipse", {"cx": f"{centre:g}", "cy": f"{y:g}", "rx": "200", "ry": "165"})
    else:
        high = 150 if grade is Grade.HALT else -95
        size = {"x": f"{centre - 190:g}", "y": f"{y - high:g}", "width": "380", "height": "300" if high > 0 else "60"}
        form = etree.Element("rect", size)
    form.set("class", f"behind {_name(grade)}")
    form.set("data-note-marked", note)
    form.set("fill", colour)
    form.set("fill-opacity", "0.22")
    return form


def _inner(group: Any) -> str:
    return "".join(etree.tostring(child, encoding="unicode") for child in group)


def _toolkit() -> object | None:
    """Where verovio is installed, None where it is not. It is not loaded here: only the child process runs it."""
    return find_spec("verovio")


@lru_cache(maxsize=2048)
def _drawn(data: bytes) -> ink.Drawing | None:
    """The engraver's drawing; None where there is none, or verovio is not there. Raises Lost, which is not remembered here."""
    if _toolkit() is None:
        return None
    with child() as engraver:
        svg = engraver.draw(data)
    return ink.drawing(svg) if svg else None
