"""From what the cursors found to the model: bars get their place in time, notes their sounding pitch, events their order."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from decimal import Decimal
from functools import lru_cache
from operator import attrgetter, itemgetter
from typing import Any, TypeVar

from xmlcheck.model import Measure, Note, Part, Rest, Transpose
from xmlcheck.pitch import Pitch
from xmlcheck.quick import quick
from xmlcheck.reader.cursor import Cursor, Later
from xmlcheck.reader.lengths import bar_lengths
from xmlcheck.reader.partlist import Listed

T = TypeVar("T")
_ONSET = attrgetter("onset")
_note = quick(Note)
_rest = quick(Rest)
_measure = quick(Measure)


def parts(cursors: Sequence[Cursor], listed: dict[str, Listed]) -> tuple[Part, ...]:
    """The parts of a score, their bars on one time axis."""
    voiced = any(cursor.voiced for cursor in cursors)
    lengths = bar_lengths(cursors)
    return tuple(
        _part(cursor, own, listed.get(cursor.part) or Listed(cursor.part), voiced)
        for cursor, own in zip(cursors, lengths, strict=True)
    )


def _part(cursor: Cursor, lengths: list[int], listed: Listed, voiced: bool) -> Part:
    starts = [0]
    for length in lengths:
        starts.append(starts[-1] + length)
    transposes = _placed(cursor.transposes, starts)
    notes = _notes(cursor, starts, transposes)
    rests = [_rest(starts[rest[2]] + rest[0], *rest[1:]) for rest in cursor.rests]
    rests.sort(key=_ONSET)
    barlines = sorted((make(starts[bar], lengths[bar]) for bar, make in cursor.barlines), key=_ONSET)
    return Part(
        **listed.parts(),
        measures=tuple(
            _measure(index, bar.number, bar.text, start, length, bar.anchor, bar.implicit, bar.filled, bar.non_controlling)
            for index, (bar, start, length) in enumerate(zip(cursor.measures, starts, lengths, strict=False))
        ),
        notes=tuple(notes),
        rests=tuple(rests),
        directions=_placed(cursor.directions, starts),
        keys=_placed(cursor.keys, starts),
        times=_placed(cursor.times, starts),
        clefs=_placed(cursor.clefs, starts),
        transposes=transposes,
        tunings=_placed(cursor.tunings, starts),
        styles=_placed(cursor.styles, starts),
        barlines=tuple(barlines),
        staves=max(cursor.staves, max((note.staff for note in notes), default=1)),
        voiced_directions=voiced,
    )


def _placed(found: Iterable[Later[T]], starts: Sequence[int]) -> tuple[T, ...]:
    events: list[Any] = [make(starts[bar]) for bar, make in found]
    events.sort(key=_ONSET)
    return tuple(events)


def _notes(cursor: Cursor, starts: Sequence[int], transposes: Sequence[Transpose]) -> list[Note]:
    """The notes with their sounding pitches, sorted. Notes of a chord have one onset and so stay together."""
    intervals = _Intervals([one for one in transposes if not one.for_part], starts)
    changing = bool(intervals.changes)
    notes = []
    for (at, duration, bar, anchor, voice, staff, written, flags, marks, kind, dots, modification, sign, head, instruments,
         harmonic, display, velocity, lyrics) in cursor.notes:  # fmt: skip
        sounding, doubled = written, None
        if changing and written is not None:
            sounding, doubled = intervals.sounding(written, bar, at, staff)
        notes.append(
            _note(starts[bar] + at, duration, bar, anchor, voice, staff, written, sounding, flags, marks, kind, dots,
                  modification, sign, head, instruments, harmonic, doubled, display, velocity, lyrics)
        )  # fmt: skip
    notes.sort(key=_ONSET)
    return notes


class _Intervals:
    """The transposition in force at a place, in score order: by bar and onset in it, so that a change at a barline leaves a
    grace note at the end of the bar before alone."""

    def __init__(self, changes: Sequence[Transpose], starts: Sequence[int]) -> None:
        self.changes = sorted((((one.measure, one.onset - starts[one.measure]), one) for one in changes), key=itemgetter(0))
        self._staves: dict[int, tuple[list[tuple[int, int]], list[Transpose]]] = {}

    def sounding(self, written: Pitch, bar: int, at: int, staff: int) -> tuple[Pitch, Pitch | None]:
        """The sounding pitch, and the second one of a doubling transposition."""
        places, values = self._staves.get(staff) or self._staff(staff)
        index = bisect_right(places, (bar, at)) - 1
        if index < 0:
            return written, None
        one = values[index]
        return _moved(written, one.chromatic, one.diatonic, one.octave, one.doubled)

    def _staff(self, staff: int) -> tuple[list[tuple[int, int]], list[Transpose]]:
        own = [(place, one) for place, one in self.changes if one.staff in (0, staff)]
        self._staves[staff] = [place for place, _ in own], [one for _, one in own]
        return self._staves[staff]


@lru_cache(maxsize=4096)
def _moved(written: Pitch, chromatic: Decimal, diatonic: int | None, octave: int, doubled: str) -> tuple[Pitch, Pitch | None]:
    sounding = written if not (chromatic or octave or diatonic) else written.moved(chromatic, diatonic, octave)
    if not doubled:
        return sounding, None
    return sounding, sounding.moved(0, 0, 1 if doubled == "above" else -1)
