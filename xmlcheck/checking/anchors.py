"""Where a label can stand: before the first audible note of the place, before its grace notes, never inside a chord."""

from __future__ import annotations

from bisect import bisect_left
from functools import cached_property

from xmlcheck.model import Note, Part


class Anchors:
    """Finds, for a tick in a part, the note before which a label is inserted."""

    def __init__(self, part: Part) -> None:
        self._notes = sorted((note for note in part.notes if note.anchor >= 0), key=lambda note: note.anchor)

    @cached_property
    def _index(self) -> dict[int, int]:
        return {note.anchor: index for index, note in enumerate(self._notes)}

    @cached_property
    def _audible(self) -> list[Note]:
        real = [note for note in self._notes if not (note.hidden or note.cue or note.grace)]
        return sorted(real, key=lambda note: (note.onset, note.anchor))

    @cached_property
    def _onsets(self) -> list[int]:
        return [note.onset for note in self._audible]

    def of(self, anchor: int, onset: int, staff: int = 0) -> Note | None:
        """The note to label for an event: itself if it is an audible note, else the next audible note (on its staff)."""
        index = self._index.get(anchor)
        if index is not None and not self._notes[index].hidden:
            return self._head(index)
        start = bisect_left(self._onsets, onset)
        following = self._audible[start:]
        note = next((note for note in following if not staff or note.staff == staff), None)
        return None if note is None else self._head(self._index[note.anchor])

    def _head(self, index: int) -> Note:
        """The first note of the chord, and before it the grace notes of that voice and staff."""
        notes = self._notes
        while index > 0 and notes[index].chord and notes[index - 1].onset == notes[index].onset:
            index -= 1
        main = notes[index]
        while index > 0:
            before = notes[index - 1]
            if not (before.grace and before.voice == main.voice and before.staff == main.staff and before.onset == main.onset):
                break
            index -= 1
        return notes[index]
