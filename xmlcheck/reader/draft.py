"""The children of a `<note>`, each read by a function of its own into a draft of the note."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from lxml import etree

from xmlcheck.model import CHORD, CUE, GRACE, OPTIONAL, SHAPED, SMALL, TIE_START, TIE_STOP, Harmonic, Mark
from xmlcheck.pitch import Pitch, spelled
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.grid import whole
from xmlcheck.reader.marks import make, mark, texts
from xmlcheck.reader.notations import read_notations, read_play
from xmlcheck.reader.notices import shown
from xmlcheck.reader.values import SHAPES, ratio

_STEP_OCTAVE = ("step", "octave")
_PLAIN_SIGNS = frozenset(("sharp", "flat", "natural"))
_STAVES = {str(number): number for number in range(1, 10)}


class Draft:
    """A note while it is read. What the file does not give stays at the class's own value, which costs nothing.

    duration: ticks, -1 where the note has none. rest, full: whether it is a rest, and one that fills its bar by
    measure="yes". pitched: False for `<unpitched>`.
    """

    flags: int = 0
    duration: int = -1
    staff: int = 1
    dots: int = 0
    lyrics: int = 0
    voice: str = ""
    type: str = ""
    sign: str = ""
    notehead: str = ""
    written: Pitch | None = None
    display: Pitch | None = None
    harmonic: Harmonic | None = None
    velocity: Decimal | None = None
    ratio: tuple[int, int] | None = None
    rest: bool = False
    full: bool = False
    pitched: bool = True
    instruments: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()


Reader = Callable[[etree._Element, Draft, Cursor], None]


def _pitch(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    children = list(element)
    tags = tuple([child.tag for child in children])
    if tags == _STEP_OCTAVE:
        step, alter, octave = children[0].text or "", "", children[1].text or ""
    else:
        found = {child.tag: child.text or "" for child in children}
        step, alter, octave = found.get("step", ""), found.get("alter", ""), found.get("octave", "")
        cursor.faults.order(element, tags)
    try:
        draft.written = spelled(step, alter, octave)
    except (ValueError, ArithmeticError):
        draft.pitched = False
        cursor.notice("pitch", f"a pitch is {shown(f'{step} {alter} {octave}')}; kept as a note without pitch")


def _unpitched(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.pitched = False
    found = texts(element)
    cursor.faults.order(element, tuple(found))
    try:
        draft.display = spelled(found.get("display-step", ""), "", found.get("display-octave", ""))
    except (ValueError, ArithmeticError):
        draft.display = None  # the standard's meaning of no display step: the middle line


def _rest(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.rest, draft.full = True, element.get("measure") == "yes"
    cursor.faults.attributes(element)


def _duration(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    text = element.text
    try:
        draft.duration = cursor.ticks[text]
    except ValueError:
        draft.duration = 0
        cursor.notice("duration", f"a duration is {shown(text)}; read as 0")
    if draft.duration <= 0:
        cursor.faults.length(element, text)


def _voice(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.voice = (element.text or "").strip()


def _staff(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    number = _STAVES.get(element.text or "") or whole(element.text)
    if number is None or not 0 < number < 1000:
        cursor.notice("staff", f"a staff number is {shown(element.text)}; read as 1")
        number = 1
    draft.staff = number


def _type(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.type = (element.text or "").strip()
    if element.get("size") in ("cue", "grace-cue"):
        draft.flags |= SMALL


def _dot(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.dots += 1


def _flag(bit: int) -> Reader:
    def read(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
        draft.flags |= bit

    return read


def _grace(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.flags |= GRACE
    _remark(element, draft)


def _tie(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    kind = element.get("type")
    draft.flags |= TIE_START if kind == "start" else TIE_STOP if kind == "stop" else 0


def _accidental(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.sign = (element.text or "").strip()
    if draft.sign not in _PLAIN_SIGNS:
        cursor.faults.text(element)
    _remark(element, draft)


def _notehead(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.notehead = (element.text or "").strip()
    if draft.notehead in SHAPES:
        draft.flags |= SHAPED
    if element.get("parentheses") == "yes":
        draft.flags |= OPTIONAL
    _remark(element, draft)


def _remark(element: etree._Element, draft: Draft) -> None:
    """Keeps an element that is a field or a flag as a mark too, where its attributes add to it."""
    if element.keys() and (found := mark("note", element)).extra:
        draft.marks += (found,)


def _time_modification(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    found = texts(element)
    cursor.faults.order(element, tuple(found))
    draft.ratio = ratio(found.get("actual-notes"), found.get("normal-notes"))


def _notations(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    found: list[Mark] = []
    draft.harmonic = read_notations(element, found) or draft.harmonic
    draft.marks += tuple(found)


def _instrument(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.instruments += (element.get("id", ""),)


def _lyric(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.lyrics += 1


def _play(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.marks += tuple(make("play", name, "", value) for name, value in read_play(element))


def _text(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    draft.marks += (mark("note" if element.tag == "notehead-text" else "editorial", element),)


CHILDREN: dict[object, Reader] = {
    "pitch": _pitch,
    "unpitched": _unpitched,
    "rest": _rest,
    "duration": _duration,
    "voice": _voice,
    "staff": _staff,
    "type": _type,
    "dot": _dot,
    "chord": _flag(CHORD),
    "cue": _flag(CUE),
    "grace": _grace,
    "tie": _tie,
    "accidental": _accidental,
    "notehead": _notehead,
    "time-modification": _time_modification,
    "notations": _notations,
    "instrument": _instrument,
    "lyric": _lyric,
    "play": _play,
    "notehead-text": _text,
    "footnote": _text,
    "level": _text,
}
"""Readers by element name. Stems, beams and `<listen>` are left out: they change neither sound nor technique."""
