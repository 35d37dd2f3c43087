"""The list of trigger notes that a writer gives: `C0=pizz, D0=arco`, or MIDI numbers, `24=pizz`.

Sequencers number octaves differently: their middle C is C3, C4 or C5. So names need to be told which, and numbers do not.
Middle C is MIDI note 60 (MIDI 1.0 specification).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from xmlcheck.plugin import pitch

MIDDLE_C = 60
_NAME = re.compile(r"[A-Ga-g](?:#{1,2}|b{1,2}|♯|♭)?-?\d+")


@dataclass(frozen=True, slots=True)
class Named:
    """One trigger: its MIDI note number and what it switches to."""

    number: int
    technique: str


class Unclear(ValueError):
    """The list of triggers does not say what it must; the text tells what is missing."""


def parse(text: str, middle_c: str = "", part: str = "", heading: str = "") -> tuple[Named, ...]:
    """The triggers of one part.

    text: `C0=pizz, D0=arco`; with several parts `Violin 1: C0=pizz, D0=arco; P3: 24=trem`, where a list without a name in
    front is for all parts. middle_c: "C3", "C4" or "C5", what the sequencer calls MIDI note 60. Raises Unclear.
    """
    found: list[Named] = []
    for names, entries in _lists(text):
        if names and names.casefold() not in (part.casefold(), heading.casefold()):
            continue
        found += [_one(entry, middle_c) for entry in entries.split(",") if entry.strip()]
    return tuple(found)


def _lists(text: str) -> Iterator[tuple[str, str]]:
    for piece in text.split(";"):
        names, colon, entries = piece.rpartition(":")
        if piece.strip():
            yield (names.strip() if colon else ""), entries


def _one(entry: str, middle_c: str) -> Named:
    note, equals, technique = (item.strip() for item in entry.partition("="))
    if not equals or not technique:
        raise Unclear(f"trigger {entry.strip()!r}: write a note, an equals sign and a technique, such as 24=pizz")
    if note.isdecimal():
        number = int(note)
    elif _NAME.fullmatch(note):
        if middle_c.upper() not in ("C3", "C4", "C5"):
            raise Unclear(
                f"trigger {note!r}: octave names differ between sequencers; say what yours calls middle C: C3, C4 or C5"
            )
        height = pitch(note.replace("♯", "#").replace("♭", "b"))
        number = height.cents // 100 + 12 * (4 - int(middle_c[1:]))
    else:
        raise Unclear(f"trigger {note!r}: neither a note name such as C0 nor a MIDI number")
    if not 0 <= number <= 127:
        raise Unclear(f"trigger {note!r}: MIDI note {number}, outside 0 to 127; is middle C {middle_c or 'C4'}?")
    return Named(number, technique)
