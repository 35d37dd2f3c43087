"""One line of a player's copy, and what all makers of lines share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from xmlcheck.finding import Place
from xmlcheck.model import CUE, HIDDEN, SILENT, Note, Part


@dataclass(frozen=True, slots=True)
class Line:
    """Words before the element of an anchor. place: whose staff and voice they belong to. below: under the staff."""

    anchor: int
    text: str
    place: Place
    below: bool = False


def line_at(part: Part, at: Note, text: str, below: bool = False) -> Line:
    """A line before a note."""
    staff = at.staff if part.staves > 1 else None
    return Line(at.anchor, text, Place(staff=staff, voice=at.voice if part.voiced_directions else None), below)


def heard(part: Part) -> tuple[Note, ...]:
    """The notes that are played: no cue notes, nothing hidden or silent."""
    return tuple(note for note in part.notes if not note.flags & (CUE | HIDDEN | SILENT))


def first_from(notes: tuple[Note, ...], tick: int) -> Note | None:
    """The first note from a tick on, grace notes before it included."""
    return next((note for note in notes if note.onset >= tick and not note.chord), None)


def chords(notes: tuple[Note, ...]) -> Iterator[tuple[Note, ...]]:
    """Notes struck together on one stem, without grace notes, harmonics, and those that a tie holds on."""
    found: dict[tuple[int, str, int], list[Note]] = {}
    for note in notes:
        if not note.grace:
            found.setdefault((note.onset, note.voice, note.staff), []).append(note)
    for together in found.values():
        if not any(note.tie_stop or note.harmonic or note.sounding is None for note in together):
            yield tuple(together)
