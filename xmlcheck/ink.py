"""What an engraver's SVG holds, taken over by an allow-list and made small: lines, outlines, texts, and where note heads are.

Styles, scripts, colours, ids and all that is not drawn stay behind. Ink is the page's own text colour.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from lxml import etree

_SVG = "{http://www.w3.org/2000/svg}"
_SHAPES = ("path", "polygon", "polyline", "rect", "ellipse", "circle", "line")
_KEPT = (
    "d", "points", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "width", "height", "transform",
    "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray", "font-size", "font-weight", "font-style",
    "text-anchor",
)  # fmt: skip
_NOTES = frozenset(("note", "rest", "mRest", "chord", "space", "multiRest"))
_BOLD = frozenset(("ending", "fing", "reh", "tempo"))
_ITALIC = frozenset(("dir", "dynam", "mNum"))
_LINE = re.compile(r"M(-?[\d.]+)[ ,](-?[\d.]+) L(-?[\d.]+)[ ,](-?[\d.]+)\Z")
_PLACE = re.compile(r"translate\(\s*(-?[\d.]+)[ ,]+(-?[\d.]+)\s*\)")
_GLYPH = re.compile(r"#?([0-9A-F]{4,5})-")
_OURS = re.compile(r"a\d+\Z")
"""Ids that an excerpt gave; all others change from one drawing to the next."""
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_WORDS = {
    "\ueca2": "whole", "\ueca3": "half", "\ueca5": "♩", "\ueca7": "♪", "\ueca9": "16th", "\uecab": "32nd", "\uecb7": ".",
    "\ue1d2": "whole", "\ue1d3": "half", "\ue1d5": "♩", "\ue1d7": "♪", "\ue1d9": "16th", "\ue1db": "32nd", "\ue1e7": ".",
}  # fmt: skip
"""Note values in metronome marks (SMuFL code points, which need a music font) as signs and words that every font has."""
_PRIVATE = re.compile("[\ue000-\uf8ff]")
_CLEF = 800
"""How far a clef reaches above its line; other outlines reach about 300."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """Lines and texts as SVG, and the outlines they refer to, by name.

    heads: left edge and middle height of each note's head (or rest), by id. left, top, width, bottom: what the ink takes up.
    """

    body: str
    glyphs: Mapping[str, str]
    heads: Mapping[str, tuple[float, float]]
    left: float
    top: float
    width: float
    bottom: float


def plain(text: str) -> str:
    """A text from a file, on one line, without what neither XML nor a reader can show."""
    return "".join(sign if sign.isprintable() else " " for sign in " ".join(text.split()))


def drawing(svg: str) -> Drawing | None:
    """The drawing of one page; None where it holds none."""
    root = etree.fromstring(svg.encode("utf-8"), etree.XMLParser(resolve_entities=False, no_network=True, huge_tree=True))
    margin = next((item for item in root.iter(f"{_SVG}g") if item.get("class") == "page-margin"), None)
    inner = next((item for item in root.iter(f"{_SVG}svg") if item is not root), None)
    if margin is None or inner is None:
        return None
    pen = _Pen()
    body = pen.group(margin)
    box = [float(value) for value in (inner.get("viewBox") or "0 0 0 0").split()]
    place = _PLACE.search(margin.get("transform", ""))
    left, over = (float(place[1]), float(place[2])) if place else (0.0, 0.0)
    used = {name: d for name, d in _outlines(root).items() if name in pen.used}
    return Drawing(body, used, pen.heads, -left, min(pen.top, 540.0), box[2] - left, box[3] - over)


def _outlines(root: Any) -> dict[str, str]:
    found: dict[str, str] = {}
    for item in root.iterfind(f"{_SVG}defs/{_SVG}g"):
        name, path = _GLYPH.match(item.get("id", "")), item.find(f"{_SVG}path")
        if name is not None and path is not None:
            found[f"g{name[1]}"] = " ".join(path.get("d", "").split())
    return found


class _Pen:
    """Writes the kept elements of a drawing, and notes on the way what they use and how far up they reach."""

    def __init__(self) -> None:
        self.used: set[str] = set()
        self.heads: dict[str, tuple[float, float]] = {}
        self.top = 1e9

    def group(self, element: Any) -> str:
        classes = set(element.get("class", "").split())
        if "placeholder" in classes or element.get("visibility") == "hidden":
            return ""
        inner = self._children(element)
        if not inner:
            return ""
        attributes = ""
        if classes & _NOTES and _OURS.match(element.get("id", "")):
            place = _head(element)
            if place is not None:
                self.heads[element.get("id")] = place
                attributes += f" data-note={quoteattr(element.get('id'))}"
        attributes += ' font-weight="bold"' if classes & _BOLD else ""
        attributes += ' font-style="italic"' if classes & _ITALIC else ""
        if element.get("transform") and "page-margin" not in classes:
            attributes += f" transform={quoteattr(element.get('transform'))}"
        return f"<g{attributes}>{inner}</g>" if attributes else inner

    def _children(self, element: Any) -> str:
        written: list[str] = []
        strokes: dict[str, list[str]] = {}
        for child in element:
            if not isinstance(child.tag, str) or not child.tag.startswith(_SVG):
                continue
            tag = child.tag[len(_SVG) :]
            if tag == "g":
                written.append(self.group(child))
            elif tag == "use":
                written.append(self._use(child))
            elif tag == "text":
                written.append(self._text(child))
            elif tag in _SHAPES:
                line = _LINE.match(child.get("d", ""))
                if tag == "path" and line and set(child.attrib) == {"d", "stroke-width"}:
                    strokes.setdefault(child.get("stroke-width"), []).append(self._line(line))
                else:
                    written.append(self._shape(tag, child))
        drawn = (f'<path stroke-width="{width}" d="{"".join(lines)}"/>' for width, lines in strokes.items())
        return "".join((*drawn, *written))

    def _line(self, line: re.Match[str]) -> str:
        x1, y1, x2, y2 = line.groups()
        self.top = min(self.top, float(y1), float(y2))
        return f"M{x1} {y1}" + (f"H{x2}" if y1 == y2 else f"V{y2}" if x1 == x2 else f"L{x2} {y2}")

    def _use(self, element: Any) -> str:
        name, place = _GLYPH.match(element.get("href", "")), _PLACE.search(element.get("transform", ""))
        if name is None:
            return ""
        self.used.add(f"g{name[1]}")
        if place:
            self.top = min(self.top, float(place[2]) - (_CLEF if name[1].startswith("E05") else 300))
        transform = element.get("transform", "").replace(", ", " ").replace(") scale(", ")scale(")
        return f'<use href="#g{name[1]}" transform={quoteattr(transform)}/>'

    def _shape(self, tag: str, element: Any) -> str:
        heights = _NUMBER.findall(element.get("points") or element.get("d") or "")[1::2]
        self.top = min([self.top, *map(float, heights)])
        kept = "".join(f" {key}={quoteattr(element.get(key))}" for key in _KEPT if element.get(key) is not None)
        hollow = ' fill="none"' if element.get("fill") in ("none", "transparent") or element.get("fill-opacity") == "0" else ""
        return f"<{tag}{kept}{hollow}/>"

    def _text(self, element: Any) -> str:
        pieces = "".join(self._runs(element, {}))
        if not pieces:
            return ""
        kept = "".join(f" {key}={quoteattr(element.get(key))}" for key in _KEPT if element.get(key) and key != "font-size")
        if element.get("y"):
            self.top = min(self.top, float(element.get("y")) - 320)
        return f'<text stroke="none"{kept}>{pieces}</text>'

    def _runs(self, element: Any, inherited: dict[str, str]) -> list[str]:
        own = {key: element.get(key) for key in ("font-size", "font-weight", "font-style", "x", "y") if element.get(key)}
        if element.tag == f"{_SVG}text":
            own = {}
        held = inherited | own
        result: list[str] = []
        if element.text and element.tag == f"{_SVG}tspan":
            text = _PRIVATE.sub("", "".join(_WORDS.get(sign, sign) for sign in element.text))
            size = "405px" if "Leipzig" in element.get("font-family", "") else held.get("font-size", "324px")
            rest = "".join(f" {key}={quoteattr(value)}" for key, value in held.items() if key != "font-size")
            if text:
                result.append(f'<tspan font-size="{size.removesuffix("px")}"{rest}>{escape(text)}</tspan>')
        for child in element.iterchildren(f"{_SVG}tspan"):
            result += self._runs(child, held)
            held = {key: value for key, value in held.items() if key not in ("x", "y")}
        return result


def _head(note: Any) -> tuple[float, float] | None:
    """The place of a note's head, or of a rest's sign: its left edge and the middle of its height."""
    heads = [item for item in note.iter(f"{_SVG}g") if item.get("class") == "notehead"]
    for item in (heads[0] if heads else note).iter(f"{_SVG}use"):
        found = _PLACE.search(item.get("transform", ""))
        if found:
            return float(found[1]), float(found[2])
    return None
