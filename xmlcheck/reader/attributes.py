"""`<attributes>`: divisions, keys, times, clefs, transposition, tuning and bar styles, each at its place in the bar."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import partial

from lxml import etree

from xmlcheck.model import Clef, Key, MeasureStyle, Time, Transpose
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.grid import whole
from xmlcheck.reader.notices import shown
from xmlcheck.reader.parse import bounded, staff_number
from xmlcheck.reader.tuning import read_staff_details
from xmlcheck.ticks import LARGEST, decimal

_LINES = {"G": 2, "F": 4, "C": 3, "TAB": 5}
"""Staff lines of clefs that give none (MusicXML 4.0, element line)."""
_MOST_BARS = 10_000
"""Of a rest of many bars, or bars repeated by a sign: more is a slip of the writer, not music."""
_LONGEST = 100
"""Characters of beats that are kept."""


def read_attributes(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    """Reads one `<attributes>` at the cursor. What it says holds in score order from there, not in document order."""
    children = list(element)
    cursor.faults.order(element, tuple([child.tag for child in children]))
    for child in children:
        handler = _HANDLERS.get(child.tag)
        if handler is not None:
            handler(child, cursor, anchor)


def _divisions(element: etree._Element, cursor: Cursor, _: int) -> None:
    value = decimal(element.text)
    if value is None or not 0 < value <= LARGEST:
        cursor.notice("divisions", f"divisions are {shown(element.text)}; the value before stays")
        return
    cursor.divide(value)


def _key(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    alters: list[tuple[str, Decimal, str]] = []
    for child in element:
        text = (child.text or "").strip()
        if child.tag == "key-step":
            alters.append((text, Decimal(0), ""))
        elif child.tag == "key-alter" and alters:
            alters[-1] = (alters[-1][0], decimal(text) or Decimal(0), "")
        elif child.tag == "key-accidental" and alters:
            alters[-1] = (*alters[-1][:2], text)
    fifths = bounded(element, "fifths", 100, cursor)
    mode = (element.findtext("mode") or "").strip()
    at, bar, staff = cursor.position, cursor.measure, staff_number(element, 0)
    cursor.keys.append((bar, lambda start: Key(start + at, bar, anchor, staff, fifths, mode, tuple(alters))))


def _time(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    texts = [((child.text or "").strip()[:_LONGEST], child.tag) for child in element if child.tag in ("beats", "beat-type")]
    pairs: list[tuple[str, int]] = []
    quarters: Fraction | None = Fraction(0)
    for (beats, first), (unit, second) in zip(texts[::2], texts[1::2], strict=False):
        number = whole(unit)
        counts = [whole(beat) for beat in beats.split("+")]
        if (first, second) != ("beats", "beat-type") or number is None or not 0 < number <= 1024:
            quarters = None
            continue
        pairs.append((beats, number))
        if None in counts or quarters is None:
            quarters = None
        else:
            quarters += Fraction(sum(count for count in counts if count) * 4, number)
    if element.find("senza-misura") is not None:
        pairs = []
    elif quarters is None or len(texts) % 2:
        cursor.notice("time", f"a time signature is {shown(' '.join(text for text, _ in texts))}; its bar length is open")
    length = quarters if pairs and quarters and 0 < quarters <= 1000 else None
    cursor.nominal = round(length * cursor.grid.resolution) if length else 0
    at, bar, staff = cursor.position, cursor.measure, staff_number(element, 0)
    cursor.times.append((bar, lambda start: Time(start + at, bar, anchor, staff, tuple(pairs), length)))


def _staves(element: etree._Element, cursor: Cursor, _: int) -> None:
    cursor.staves = max(cursor.staves, min(whole(element.text) or 1, 100))


def _clef(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    if element.get("additional") == "yes":  # stands beside the clef in force, for a cue, and does not replace it
        return
    cursor.faults.order(element, tuple([child.tag for child in element]))
    sign, line, octave = clef_of(element, cursor)
    at, bar, staff = cursor.position, cursor.measure, staff_number(element, 1)
    cursor.clefs.append((bar, lambda start: Clef(start + at, bar, anchor, staff, sign, line, octave)))


def clef_of(element: etree._Element, cursor: Cursor) -> tuple[str, int, int]:
    """Sign, line (0 where the sign has no usual one) and octave change of a clef."""
    sign = (element.findtext("sign") or "").strip()
    line = bounded(element, "line", 100, cursor)
    octave = bounded(element, "clef-octave-change", 10, cursor)
    return sign, _LINES.get(sign, 0) if line is None else line, octave or 0


def _transpose(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    cursor.faults.order(element, tuple([child.tag for child in element]))
    _interval(element, element, cursor, anchor, None)


def _for_part(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    interval, clef = element.find("part-transpose"), element.find("part-clef")
    if interval is not None:
        _interval(element, interval, cursor, anchor, clef_of(clef, cursor) if clef is not None else ("", 0, 0))


def _interval(
    owner: etree._Element, element: etree._Element, cursor: Cursor, anchor: int, clef: tuple[str, int, int] | None
) -> None:
    text = element.findtext("chromatic")
    chromatic = decimal(text)
    if chromatic is None or abs(chromatic) > 100:
        cursor.notice("transpose", f"a transposition has chromatic {shown(text)}; read as 0")
        chromatic = Decimal(0)
    diatonic = bounded(element, "diatonic", 100, cursor)
    octave = bounded(element, "octave-change", 10, cursor) or 0
    if abs(chromatic) >= 12 and not octave:
        cursor.notice("transpose-octave", "a transposition by octaves is written as semitones, without octave-change; read so")
    if diatonic is not None and abs(Decimal(diatonic) * 12 / 7 - chromatic) > 2:
        cursor.notice("transpose", f"a transposition of {chromatic} semitones and {diatonic} steps; the steps are left out")
        diatonic = None
    double = element.find("double")
    doubled = "" if double is None else "above" if double.get("above") == "yes" else "below"
    at, bar, staff, part = cursor.position, cursor.measure, staff_number(owner, 0), clef is not None
    known = clef if clef and clef[0] else None
    cursor.transposes.append(
        (bar, lambda start: Transpose(start + at, bar, anchor, staff, chromatic, diatonic, octave, doubled, part, known))
    )


def _measure_style(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    at, bar, staff = cursor.position, cursor.measure, staff_number(element, 0)
    for child in element:
        if isinstance(child.tag, str):
            count = whole(child.text) or whole(child.get("slashes")) or 0
            if not 0 <= count <= _MOST_BARS:
                cursor.notice("number", f"{child.tag} is {shown(str(count))}; left out")
                count = 0
            style = partial(
                MeasureStyle,
                measure=bar,
                anchor=anchor,
                staff=staff,
                name=child.tag,
                type=child.get("type", ""),
                count=count,
            )
            cursor.styles.append((bar, _at(style, at)))


def _at(style: Callable[[int], MeasureStyle], at: int) -> Callable[[int], MeasureStyle]:
    return lambda start: style(start + at)


_HANDLERS: dict[object, Callable[[etree._Element, Cursor, int], None]] = {
    "divisions": _divisions,
    "key": _key,
    "time": _time,
    "staves": _staves,
    "clef": _clef,
    "transpose": _transpose,
    "for-part": _for_part,
    "staff-details": read_staff_details,
    "measure-style": _measure_style,
}
