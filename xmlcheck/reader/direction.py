"""`<direction>`, `<sound>`, `<harmony>` and name changes in `<print>`: what stands beside the notes."""

from __future__ import annotations

from decimal import Decimal

from lxml import etree

from xmlcheck.model import Direction, InstrumentChange, Mark, Sound
from xmlcheck.quick import quick
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.grid import whole
from xmlcheck.reader.marks import items, letters, make, mark
from xmlcheck.reader.notations import read_play
from xmlcheck.reader.notices import shown
from xmlcheck.reader.partlist import display, players
from xmlcheck.reader.plain import TAG
from xmlcheck.reader.tempo import read_metronome
from xmlcheck.reader.tuning import scordatura
from xmlcheck.ticks import decimal

_direction = quick(Direction)
_DISPLAYS = ("part-name-display", "part-abbreviation-display")


def read_direction(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    """Adds a direction at the cursor. One of our own annotations, known by its words, is passed over."""
    marks: list[Mark] = []
    offset = shift = staff = 0
    voice = ""
    sound: etree._Element | None = None
    children = list(element)
    tags = tuple([child.tag for child in children])
    cursor.faults.order(element, tags)
    for tag, child in zip(tags, children, strict=True):
        if tag == "direction-type":
            cursor.faults.empty(child)
            for sign in child:
                if isinstance(sign.tag, str):
                    marks.append(_sign(sign))
                    if sign.tag == "words":
                        cursor.faults.attributes(sign)
        elif tag == "offset":
            offset = _offset(child, cursor)
            shift = offset if child.get("sound") == "yes" else 0
        elif tag == "staff":
            staff = whole(child.text) or 0
        elif tag == "voice":
            voice = (child.text or "").strip()
            cursor.voiced = cursor.voiced or bool(voice)
        elif tag == "sound":
            sound = child
        elif tag in ("footnote", "level"):
            marks.append(mark("editorial", child))
    if next((one.value for one in marks if one.name == "words"), "").lstrip().startswith(TAG):
        return
    for tuning in element.iterfind("direction-type/scordatura") if any(m.name == "scordatura" for m in marks) else ():
        scordatura(tuning, cursor, anchor, staff, cursor.position + offset)
    if sound is not None:
        shift += _offset(sound.find("offset"), cursor)
    _add(cursor, anchor, tuple(marks), offset, shift, sound, staff, voice, element.get("placement", ""))


def read_sound(element: etree._Element, cursor: Cursor) -> None:
    """A bare `<sound>` of a bar: a direction without marks, at its own offset."""
    offset = _offset(element.find("offset"), cursor)
    _add(cursor, -1, (), offset, offset, element)


def read_harmony(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    """A chord symbol: a direction with one mark of the group harmony, its parts in `extra`."""
    plain = mark("harmony", element)
    extra = tuple((name, text) for name, text in plain.extra if name not in ("offset", "staff"))
    sign = make("harmony", "harmony", plain.type, (element.findtext("kind") or "").strip(), "", extra)
    offset = _offset(element.find("offset"), cursor)
    _add(cursor, anchor, (sign,), offset, 0, None, whole(element.findtext("staff")) or 0)


def read_print(element: etree._Element, cursor: Cursor) -> None:
    """A `<print>` that renames the part, as at a change of instrument; layout is passed over."""
    for child in element:
        if child.tag in _DISPLAYS:
            _add(cursor, -1, (make("print", child.tag, "", display(child)),), 0, 0, None)


def _add(
    cursor: Cursor, anchor: int, marks: tuple[Mark, ...], offset: int, shift: int, sound: etree._Element | None,
    staff: int = 0, voice: str = "", placement: str = "",
) -> None:  # fmt: skip
    at, bar = cursor.position, cursor.measure
    data = read_sound_data(sound, cursor) if sound is not None else None

    def later(start: int) -> Direction:
        place = start + at
        onset, sounds = max(0, place + offset), max(0, place + shift)
        return _direction(onset, place, bar, anchor, marks, staff, voice, placement, data, sounds)

    cursor.directions.append((bar, later))


def _sign(element: etree._Element) -> Mark:
    tag = element.tag
    if tag == "dynamics":
        return letters("direction", element)
    if tag == "metronome":
        return read_metronome(element)
    if tag == "harp-pedals":
        pairs = [(one.findtext("pedal-step"), one.findtext("pedal-alter")) for one in element.iterchildren("pedal-tuning")]
        return make("direction", tag, "", "", "", tuple(((s or "").strip(), (a or "").strip()) for s, a in pairs))
    return mark("direction", element)


def _offset(element: etree._Element | None, cursor: Cursor) -> int:
    if element is None:
        return 0
    try:
        return cursor.ticks.signed(element.text)
    except ValueError:
        cursor.notice("offset", f"an offset is {shown(element.text)}; read as 0")
        return 0


def read_sound_data(element: etree._Element, cursor: Cursor) -> Sound:
    """What a `<sound>` says: attributes, tempo, instrument changes, and its `<play>`, MIDI program and swing items."""
    attributes = tuple([(name, value) for name, value in items(element) if name != "id"])
    cursor.faults.level(element)
    tempo = _tempo(element.get("tempo"), cursor)
    changes: list[InstrumentChange] = []
    plays: list[tuple[str, str]] = []
    for child in element:
        tag = child.tag
        if tag == "instrument-change":
            sound = (child.findtext("instrument-sound") or "").strip()
            changes.append(InstrumentChange(child.get("id", ""), sound, players(child)))
        elif tag == "play":
            plays.extend(read_play(child))
        elif tag == "midi-instrument":
            plays.append(("midi-program", (child.findtext("midi-program") or "").strip()))
            for number in child.iterchildren("midi-channel", "midi-program", "midi-unpitched"):
                cursor.faults.text(number)
        elif tag == "swing":
            first, second = child.findtext("first"), child.findtext("second")
            plays.append(("swing", f"{first}:{second}" if first and second else "straight"))
    return Sound(tempo, attributes, tuple(changes), tuple(plays))


def _tempo(text: str | None, cursor: Cursor) -> Decimal | None:
    value = decimal(text)
    if text is not None and (value is None or value < 0):
        cursor.notice("tempo", f"the tempo of a sound element is {shown(text)}; left out")
        return None
    return value or None  # 0 asks for a prompt and is no tempo (MusicXML 4.0, element sound)
