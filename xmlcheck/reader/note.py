"""One `<note>`: where it stands in time, and what its attributes add."""

from __future__ import annotations

from functools import lru_cache

from lxml import etree

from xmlcheck.model import CHORD, CUE, GRACE, HIDDEN, SILENT, SMALL
from xmlcheck.reader.cursor import Cursor
from xmlcheck.reader.draft import CHILDREN, Draft, Reader
from xmlcheck.reader.faults import YES_NO
from xmlcheck.reader.marks import LAYOUT, items, make
from xmlcheck.reader.notices import shown
from xmlcheck.reader.values import dotted
from xmlcheck.ticks import decimal


def read_note(element: etree._Element, cursor: Cursor, anchor: int) -> None:
    """Adds one note or rest to the cursor and moves it on. Repairs what cannot be read, and says so in a notice."""
    draft = cursor.alike.known(anchor, cursor.ticks)
    if draft is None:
        draft = _draft(element, cursor)
        cursor.alike.keep(draft)
    if element.keys():
        _attributes(element, draft, cursor)
    at = _grace(draft, cursor) if draft.flags & GRACE else _place(draft, cursor)
    if draft.rest:
        hidden, cue = bool(draft.flags & HIDDEN), bool(draft.flags & CUE)
        cursor.rests.append(
            (at, draft.duration, cursor.measure, anchor, draft.voice or "1", draft.staff, hidden, draft.full, draft.marks, draft.type,
             draft.dots, cue)
        )  # fmt: skip
        return
    if at + draft.duration > cursor.sounded:
        cursor.sounded = at + draft.duration
    if draft.written is None and draft.pitched:
        cursor.notice("note", "a note has neither pitch nor rest; kept as a note without pitch")
    flags = draft.flags
    if cursor.staff_flags:
        flags |= cursor.staff_flags.get(draft.staff, 0)
    if flags & SMALL and flags & CUE:
        flags ^= SMALL
    if flags & HIDDEN and draft.notehead == "none":
        flags |= SILENT
    cursor.notes.append(
        (at, draft.duration, cursor.measure, anchor, draft.voice or "1", draft.staff, draft.written, flags, draft.marks,
         draft.type, draft.dots, draft.ratio, draft.sign, draft.notehead, draft.instruments, draft.harmonic, draft.display,
         draft.velocity, draft.lyrics)
    )  # fmt: skip


def _draft(element: etree._Element, cursor: Cursor) -> Draft:
    """What the children of a note say."""
    draft = Draft()
    children = list(element)
    tags = tuple([child.tag for child in children])
    for index, reader in _readers(tags):
        reader(children[index], draft, cursor)
    cursor.faults.order(element, tags)
    return draft


@lru_cache(maxsize=4096)
def _readers(tags: tuple[object, ...]) -> tuple[tuple[int, Reader], ...]:
    """Who reads which child of a note with these children. Most notes of a file are made alike, so it is kept."""
    return tuple((index, CHILDREN[tag]) for index, tag in enumerate(tags) if tag in CHILDREN)


def _grace(draft: Draft, cursor: Cursor) -> int:
    """The onset of a grace note: that of the note that comes next, or the end of its voice in the bar. It takes no time."""
    if draft.duration > 0:
        cursor.notice("grace", "a grace note has a duration; grace notes take none of their own")
    draft.duration = 0
    if not draft.flags & CHORD or cursor.grace_at < 0:
        cursor.grace_at = cursor.position
    return cursor.grace_at


def _place(draft: Draft, cursor: Cursor) -> int:
    """The onset of a note or rest; moves the cursor past it. A chord note starts with the last note that is none."""
    if draft.duration < 0:
        draft.duration = _looks(draft, cursor)
    if draft.flags & CHORD:
        if cursor.chord_at >= 0:
            draft.voice = draft.voice or cursor.chord_voice
            cursor.furthest = max(cursor.furthest, cursor.chord_at + draft.duration)
            return cursor.chord_at
        cursor.notice("chord", "a chord note has no note before it in its bar; read as a note of its own")
        draft.flags ^= CHORD
    at = cursor.chord_at = cursor.position
    cursor.chord_voice = draft.voice
    cursor.advance(draft.duration)
    return at


def _looks(draft: Draft, cursor: Cursor) -> int:
    """The duration of a note that gives none: by its note value, or a full bar for a rest that fills one."""
    cursor.notice("duration", "a note has no duration; read by its note value")
    length = dotted(draft.type, draft.dots)
    if draft.rest and cursor.nominal and (length is None or draft.full):
        return cursor.nominal
    actual, normal = draft.ratio or (1, 1)
    return 0 if length is None else round(length * normal / actual * cursor.grid.resolution)


def _attributes(element: etree._Element, draft: Draft, cursor: Cursor) -> None:
    """Reads the attributes of a note: flags, velocity, and marks for what says something else."""
    shift = 0
    for name, value in items(element):
        if name in LAYOUT:
            if name == "color":
                cursor.faults.attribute(element, name, value)
        elif name in YES_NO:
            cursor.faults.attribute(element, name, value)
            if name == "print-object" and value == "no":
                draft.flags |= HIDDEN
        elif name == "dynamics":
            draft.velocity = decimal(value)
            if draft.velocity is None or draft.velocity < 0:
                cursor.notice("dynamics", f"the dynamics of a note are {shown(value)}; left out")
                draft.velocity = None
        elif name == "pizzicato":
            draft.marks += (make("play", name, value),)
        elif name in ("time-only", "end-dynamics", "attack", "release"):
            draft.marks += (make("note", name, "", value),)
            if name in ("attack", "release"):
                shift += _shift(name, value, cursor)
    if shift and draft.duration + shift <= 0:
        draft.flags |= SILENT


def _shift(name: str, value: str, cursor: Cursor) -> int:
    """By how many ticks an attack or release makes the note longer as played."""
    try:
        return cursor.ticks.signed(value) * (1 if name == "release" else -1)
    except ValueError:
        cursor.notice("number", f"the {name} of a note is {shown(value)}; left out")
        return 0
