"""Numbers of the file within bounds: what is out of them is left out, with a notice."""

from __future__ import annotations

from lxml import etree

from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.grid import whole
from xmlcheck.reader.notices import shown


def staff_number(element: etree._Element, default: int) -> int:
    """The staff that an element is for: its number attribute."""
    number = whole(element.get("number"))
    return default if number is None or number < 1 else number


def bounded(element: etree._Element, name: str, limit: int, cursor: Cursor) -> int | None:
    """A child's whole number within ±limit; None where it is absent, or, with a notice, where it is something else."""
    text = element.findtext(name)
    if text is None:
        return None
    number = whole(text)
    if number is None or abs(number) > limit:
        cursor.notice("number", f"{name} is {shown(text)}; left out")
        return None
    return number
