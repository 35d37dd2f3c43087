"""`<barline>`: style, repeats, endings and the signs on it."""

from __future__ import annotations

from lxml import etree

from xmlcheck.model import Barline
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.grid import whole
from xmlcheck.reader.notices import shown

_SIGNS = ("segno", "coda", "fermata", "wavy-line")


def read_barline(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    """Adds a barline: a left one at the start of its bar, a right one at its end, a middle one at the cursor."""
    style = repeat = ""
    times = 2
    ending = ("", "")
    signs: list[str] = []
    children = list(element)
    cursor.faults.order(element, tuple([child.tag for child in children]))
    for child in children:
        tag = child.tag
        if tag == "bar-style":
            style = (child.text or "").strip()
        elif tag == "repeat":
            repeat = child.get("direction", "")
            times = _times(child.get("times"), cursor)
            signs += ["after-jump"] if child.get("after-jump") == "yes" else []
        elif tag == "ending":
            cursor.faults.ending(child)
            ending = (child.get("number", ""), child.get("type", ""))
        elif tag in _SIGNS:
            signs.append(tag)
    signs += [name for name in ("segno", "coda") if element.get(name) and name not in signs]
    where, bar, at, marks = element.get("location", "right"), cursor.measure, cursor.position, tuple(signs)

    def later(start: int, length: int) -> Barline:
        onset = start + (0 if where == "left" else length if where == "right" else at)
        return Barline(onset, bar, anchor, where, style, repeat, times, ending, marks)

    cursor.barlines.append((bar, later))


def _times(text: str | None, cursor: Cursor) -> int:
    number = whole(text)
    if text is not None and (number is None or not 0 <= number <= 1000):
        cursor.notice("number", f"a repeat is played {shown(text)} times; read as 2")
    return number if number is not None and 0 <= number <= 1000 else 2
