"""How the strings and lines of a staff are set: `<staff-details>` and `<scordatura>`."""

from __future__ import annotations

from lxml import etree

from xmlcheck.model import CUE, OPTIONAL, SILENT, Tuning
from xmlcheck.pitch import Pitch, spelled
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.grid import whole
from xmlcheck.reader.notices import shown
from xmlcheck.reader.parse import bounded, staff_number

_STAFF_TYPES = {"ossia": OPTIONAL, "editorial": OPTIONAL, "cue": CUE, "alternate": SILENT}
"""What notes on such a staff are: played instead, another part's music, or the same music once more (data type staff-type)."""


def read_staff_details(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    staff = staff_number(element, 1)
    kind = (element.findtext("staff-type") or "").strip()
    if kind:
        cursor.staff_flags[staff] = _STAFF_TYPES.get(kind, 0)
    strings = tuple(
        (_bounded_attribute(tuning, "line"), pitch)
        for tuning in element.iterchildren("staff-tuning")
        if (pitch := tuning_pitch(tuning, cursor)) is not None
    )
    capo, lines = bounded(element, "capo", 100, cursor) or 0, bounded(element, "staff-lines", 100, cursor) or 0
    if not (strings or capo or lines or kind):
        return
    at, bar = cursor.position, cursor.measure
    cursor.tunings.append((bar, lambda start: Tuning(start + at, bar, anchor, staff, strings, True, capo, lines, kind)))


def _bounded_attribute(element: etree._Element, name: str) -> int:
    number = whole(element.get(name))
    return number if number is not None and 0 < number < 1000 else 1


def tuning_pitch(element: etree._Element, cursor: Cursor) -> Pitch | None:
    """The pitch of a `<staff-tuning>` or `<accord>`, or None with a notice."""
    texts = [element.findtext(f"tuning-{name}") or "" for name in ("step", "alter", "octave")]
    try:
        return spelled(*texts)
    except (ValueError, ArithmeticError):
        cursor.notice("tuning", f"the tuning of a string is {shown(' '.join(texts))}; left out")
        return None


def scordatura(element: etree._Element, cursor: Cursor, anchor: int, staff: int, at: int) -> None:
    """A `<scordatura>` as a tuning: its strings count from the highest down (MusicXML 4.0, element accord)."""
    bar = cursor.measure
    strings = tuple(
        (_bounded_attribute(accord, "string"), pitch)
        for accord in element.iterchildren("accord")
        if (pitch := tuning_pitch(accord, cursor)) is not None
    )
    if strings:
        cursor.tunings.append((bar, lambda start: Tuning(start + at, bar, anchor, staff, strings, False)))
