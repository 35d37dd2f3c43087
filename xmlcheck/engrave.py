"""Pictures of excerpts: verovio engraves, the notes concerned are marked by a shape and a number.

Needs the extra `report`; without it every picture is None and the same is told in words.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from lxml import etree

from xmlcheck.excerpt import Excerpt
from xmlcheck.finding import Grade

COLOURS = {Grade.HALT: "#7B2D6B", Grade.QUERY: "#1F5FA8", Grade.TIDY: "#2E7D76"}
_SVG = "{http://www.w3.org/2000/svg}"
_PLACE = re.compile(r"translate\(\s*(-?[\d.]+)[ ,]+(-?[\d.]+)\s*\)")
_SIZE = 170
"""Size of a mark in the picture's own units (a staff space is 180)."""


def available() -> bool:
    """Whether pictures can be made here."""
    return _toolkit() is not None


@lru_cache(maxsize=1)
def _toolkit() -> Any:
    try:
        import verovio
    except ImportError:
        return None
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions(
        {
            "breaks": "none",
            "header": "none",
            "footer": "none",
            "adjustPageHeight": True,
            "adjustPageWidth": True,
            "pageWidth": 60000,
            "pageMarginTop": 120,
            "pageMarginBottom": 60,
            "pageMarginLeft": 40,
            "pageMarginRight": 40,
            "scale": 40,
            "svgViewBox": True,
            "svgRemoveXlink": True,
            "mnumInterval": 1,
            "xmlIdSeed": 1,
        }
    )
    return toolkit


@lru_cache(maxsize=2048)
def _drawn(data: bytes) -> str | None:
    toolkit = _toolkit()
    if toolkit is None or not toolkit.loadData(data.decode("utf-8")):
        return None
    svg = toolkit.renderToSVG(1)
    return svg if isinstance(svg, str) and svg else None


def picture(excerpt: Excerpt, marked: Mapping[str, tuple[Grade, str]], title: str) -> str | None:
    """The excerpt as SVG with marks: note id to grade and the text beside its shape (a finding's number).

    title is read out in place of the picture. None where it cannot be drawn. Note ids stay in the SVG as `data-note`, so that
    several pictures can stand in one page.
    """
    drawn = _drawn(excerpt.data)
    if drawn is None:
        return None
    root = etree.fromstring(drawn.encode("utf-8"), etree.XMLParser(resolve_entities=False, no_network=True))
    marks = etree.Element(f"{_SVG}g", {"class": "marks"})
    for element in root.iter(f"{_SVG}g"):
        name = element.get("id", "")
        if name in marked:
            place = _head(element)
            if place is not None:
                grade, text = marked[name]
                element.set("data-note", name)
                marks.extend(_shape(grade, text, *place))
    for element in root.iter():
        if not isinstance(element.tag, str):
            continue
        if element.tag.endswith("}style"):
            element.text = None
        if element.tag.endswith("}g"):
            element.attrib.pop("id", None)
    margin = next((item for item in root.iter(f"{_SVG}g") if item.get("class") == "page-margin"), root)
    margin.append(marks)
    label = etree.Element(f"{_SVG}title")
    label.text = title
    root.insert(0, label)
    root.set("role", "img")
    for key in ("width", "height"):
        root.attrib.pop(key, None)
    return etree.tostring(root, encoding="unicode")


def _head(note: etree._Element) -> tuple[float, float] | None:
    """The place of a note's head in the picture's units."""
    for item in note.iter(f"{_SVG}use"):
        if item.get("x") is not None and item.get("y") is not None:
            return float(item.get("x", "0").rstrip("px")), float(item.get("y", "0").rstrip("px"))
        found = _PLACE.search(item.get("transform", ""))
        if found:
            return float(found[1]), float(found[2])
    return None


def _shape(grade: Grade, text: str, x: float, y: float) -> list[etree._Element]:
    """A filled square, a hollow circle or a short dash over the head, and the number beside it."""
    colour, size, top = COLOURS[grade], _SIZE, y - 2.6 * _SIZE
    if grade is Grade.HALT:
        shape = etree.Element(f"{_SVG}rect", x=f"{x:g}", y=f"{top:g}", width=f"{size}", height=f"{size}", fill=colour)
    elif grade is Grade.QUERY:
        centre = {"cx": f"{x + size / 2:g}", "cy": f"{top + size / 2:g}", "r": f"{size / 2 - 14:g}"}
        shape = etree.Element(f"{_SVG}circle", {**centre, "fill": "none", "stroke": colour, "stroke-width": "28"})
    else:
        shape = etree.Element(f"{_SVG}rect", x=f"{x:g}", y=f"{top + size / 2:g}", width=f"{size}", height="34", fill=colour)
    words = {"x": f"{x + 1.2 * size:g}", "y": f"{top + size:g}", "font-size": f"{1.3 * size:g}", "fill": colour}
    number = etree.Element(f"{_SVG}text", {**words, "font-family": "sans-serif"})
    number.text = text
    return [shape, number]


