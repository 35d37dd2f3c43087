"""What the page says each note is: accidental signs and key signature read as a player reads them, bar by bar.

MusicXML 4.0, elements alter and accidental: alter is the sound, accidental the printed sign. A sign holds for its line of the
staff to the end of the bar (common practice, no source).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from decimal import Decimal
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from xmlcheck.plugin import GRACE, HIDDEN, TIE_STOP, Key, Note, Part

PLAIN = {
    "sharp": 1, "natural": 0, "flat": -1, "double-sharp": 2, "sharp-sharp": 2, "flat-flat": -2, "natural-sharp": 1,
    "natural-flat": -1, "triple-sharp": 3, "triple-flat": -3,
}  # fmt: skip
"""Semitones of the signs of the twelve-tone system (MusicXML 4.0, data type accidental-value)."""
MICROTONAL = {
    name: Decimal(size)
    for name, size in (
        ("quarter-flat", "-0.5"), ("quarter-sharp", "0.5"), ("three-quarters-flat", "-1.5"), ("three-quarters-sharp", "1.5"),
        ("sharp-down", "0.5"), ("sharp-up", "1.5"), ("natural-down", "-0.5"), ("natural-up", "0.5"), ("flat-down", "-1.5"),
        ("flat-up", "-0.5"), ("double-sharp-down", "1.5"), ("double-sharp-up", "2.5"), ("flat-flat-down", "-2.5"),
        ("flat-flat-up", "-1.5"),
    )
}  # fmt: skip
"""Signs that the standard defines as quarter-tones; traditions that use other sizes borrow them."""
OF_TRADITIONS = frozenset((
    "slash-quarter-sharp", "slash-sharp", "slash-flat", "double-slash-flat", "sharp-1", "sharp-2", "sharp-3", "sharp-5",
    "flat-1", "flat-2", "flat-3", "flat-4", "sori", "koron",
))  # fmt: skip
"""Signs whose size a tradition decides; never zero, never a whole semitone less or more than their name says."""
HALF = Decimal("0.5")
OTHER_UNIT = 3
"""Alterations from this size on cannot be semitones under one sign: the file counts in another unit."""
_PLAIN_NOTE = Decimal(0)
_NOTHING: tuple[Decimal | None, Note | None] = (None, None)
_SHARPS, _FLATS = "FCGDAEB", "BEADGCF"


class Read(NamedTuple):
    """One note as read from the page. shown: the alteration the page gives it, None where that cannot be told.

    since: the note whose sign is still in force, None where the key signature (or nothing) decides.
    """

    note: Note
    shown: Decimal | None
    since: Note | None


def key_alters(key: Key | None) -> dict[str, Decimal]:
    """Alterations by letter in a key signature; only whole ones of a non-traditional key."""
    if key is None:
        return {}
    if key.fifths is None:
        return {step: alter for step, alter, _ in key.alters}
    count = min(abs(key.fifths), 7)
    letters, size = (_SHARPS, Decimal(1)) if key.fifths > 0 else (_FLATS, Decimal(-1))
    return dict.fromkeys(letters[:count], size)


def editorial(note: Note) -> bool:
    """Whether the sign is an editor's advice above the note, which the pitch need not follow (accidental@editorial)."""
    return bool(note.marks) and any(mark.name == "accidental" and mark.get("editorial") == "yes" for mark in note.marks)


def readings(part: Part, notes: Iterable[Note]) -> Iterator[Read]:
    """These notes of a part as the page has them, in order. A tied-on note is what it is tied to, and is passed over."""
    keys = _Keys(part)
    held: dict[tuple[str, int, int], tuple[Decimal | None, Note]] = {}
    bar = -1
    pitched = [note for note in notes if note.written is not None and not note.flags & HIDDEN]
    pitched.sort(key=_place)
    for (measure, _, _), chord in groupby(pitched, key=_place):
        if measure != bar:
            held.clear()
            bar = measure
        together = list(chord)
        for note in together:
            if note.sign and note.written is not None and not editorial(note):
                place = note.written.step, note.written.octave, note.staff
                if not note.grace or place not in held:
                    held[place] = _size(note), note
        for note in together:
            written = note.written
            if written is None or (note.flags & TIE_STOP and not note.sign) or editorial(note):
                continue
            if note.sign:
                yield Read(note, _size(note), note)
                continue
            size, since = held.get((written.step, written.octave, note.staff), _NOTHING) if held else _NOTHING
            if since is None:
                size = keys.at(note).get(written.step, _PLAIN_NOTE)
            yield Read(note, size, since)


def by_key_alone(part: Part, notes: Iterable[Note]) -> Iterator[tuple[Note, Decimal]]:
    """These notes, of bars in which no sign stands, with the alteration that the key signature gives them; the same are passed
    over as in `readings`."""
    keys = _Keys(part)
    for note in notes:
        written = note.written
        if written is not None and not note.flags & (HIDDEN | TIE_STOP) and not editorial(note):
            yield note, keys.at(note).get(written.step, _PLAIN_NOTE)


def _place(note: Note) -> tuple[int, int, bool]:
    return note.measure, note.onset, not note.flags & GRACE


def _size(note: Note) -> Decimal | None:
    """What a sign says in semitones, None where a tradition decides, or where its own note sounds otherwise: then all is open."""
    return _said(note.sign, note.written.alter) if note.written is not None else None


@lru_cache(maxsize=1024)
def _said(sign: str, alter: Decimal) -> Decimal | None:
    plain = PLAIN.get(sign)
    size = Decimal(plain) if plain is not None else MICROTONAL.get(sign)
    return None if size is None or abs(alter - size) >= HALF else size


class _Keys:
    """Key alterations in force, by staff."""

    def __init__(self, part: Part) -> None:
        self._staves: dict[int, tuple[list[int], list[dict[str, Decimal]]]] = {}
        self._part = part

    def at(self, note: Note) -> dict[str, Decimal]:
        if note.staff not in self._staves:
            own = [key for key in self._part.keys if key.staff in (0, note.staff)]
            self._staves[note.staff] = [key.onset for key in own], [key_alters(key) for key in own]
        onsets, alters = self._staves[note.staff]
        index = bisect_right(onsets, note.onset) - 1
        return alters[index] if index >= 0 else {}
