"""Tones: what is really played, one value a sounded note.

Tied notes are one tone; the touched, stopped and sounding heads of a harmonic are one tone. Left out are heads that ask no
exact pitch of the player in time: cue, grace, hidden, silent, small or parenthesised, slash, x and box heads, unpitched notes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from xmlcheck.facts.harmonics import TOUCHED_RISE, Sound, odd, sounds
from xmlcheck.model import CUE, GRACE, HIDDEN, OPTIONAL, SHAPED, SILENT, SMALL, TIE_START, TIE_STOP, Note
from xmlcheck.pitch import Pitch
from xmlcheck.quick import quick

__all__ = ["EXEMPT", "TOUCHED_RISE", "Tone", "counted", "tones"]

EXEMPT = CUE | GRACE | HIDDEN | SILENT | SMALL | OPTIONAL | SHAPED
_Waiting = dict[tuple[int, int], list[int]]  # (sounding cents, tick): tones that are tied on to there


@dataclass(frozen=True, slots=True)
class Tone:
    """One sounded note. sounding and written are of the first head; end includes ties.

    harmonic: "" for an ordinary note, "known" where the sounding pitch of a harmonic is certain, else "open": the file does not
    say which pitch sounds. stopped: the stopped pitch of an artificial harmonic. doubled: the second pitch, an octave off, that
    other instruments of the part sound where its transposition is a doubling one.
    """

    notes: tuple[Note, ...]
    onset: int
    end: int
    sounding: Pitch
    written: Pitch
    measure: int
    anchor: int
    voice: str
    staff: int
    harmonic: str = ""
    stopped: Pitch | None = None
    doubled: Pitch | None = None

    @property
    def first(self) -> Note:
        return self.notes[0]

    @property
    def last(self) -> Note:
        return self.notes[-1]

    @property
    def duration(self) -> int:
        return self.end - self.onset

    def __hash__(self) -> int:  # equal tones are equal here too, at a small part of the cost of all fields
        return hash((self.onset, self.anchor))

    def has(self, *names: str) -> bool:
        """Whether any of its heads carries a mark of one of these element names."""
        if len(self.notes) == 1:
            return self.notes[0].has(*names)
        return any(note.has(*names) for note in self.notes)


_tone = quick(Tone)


def counted(note: Note) -> bool:
    """Whether a head counts as a note: pitched, audible, neither cue nor grace."""
    return note.sounding is not None and not note.flags & EXEMPT


def tones(notes: Iterable[Note]) -> tuple[Tone, ...]:
    """The tones of these notes (sorted by onset), ties joined by pitch and time, not by document order."""
    heads = tuple(notes)
    result: list[Tone] = []
    tied: _Waiting = {}
    if not any(map(odd, heads)):
        for note in heads:
            if note.sounding is None or note.flags & EXEMPT or note.written is None:
                continue
            if note.marks or note.flags & (TIE_START | TIE_STOP):
                _add((note,), None, result, tied)
            else:  # most notes: no tie, nothing to look up
                result.append(
                    _tone((note,), note.onset, note.end, note.sounding, note.written, note.measure, note.anchor, note.voice,
                          note.staff, "", None, note.doubled)
                )  # fmt: skip
        return tuple(result)
    for chord in _chords(heads):
        own = [note for note in chord if counted(note)]
        if own and any(map(odd, own)):
            helpers = [note for note in chord if odd(note) and note.sounding is not None and not counted(note)]
            for sound in sounds(own, helpers):
                _add(sound.heads, sound, result, tied)
        else:
            for note in own:
                _add((note,), None, result, tied)
    return tuple(result)


def _chords(notes: Iterable[Note]) -> Iterator[list[Note]]:
    """All heads, those of one chord together."""
    chord: list[Note] = []
    for note in notes:
        if chord and not (note.chord and note.onset == chord[0].onset and note.voice == chord[0].voice):
            yield chord
            chord = []
        chord.append(note)
    if chord:
        yield chord


def _add(heads: tuple[Note, ...], harmonic: Sound | None, result: list[Tone], tied: _Waiting) -> None:
    """Adds these heads to the tone that is tied to them, or as a new one."""
    index = _tied_to(heads, result, tied)
    end = max(note.end for note in heads)
    if index is None:
        index = len(result)
        result.append(_new(heads, harmonic, end))
    else:
        result[index] = replace(result[index], notes=(*result[index].notes, *heads), end=max(end, result[index].end))
    for note in heads:
        if note.sounding is not None and _leads(note, TIE_START, "start"):
            tied.setdefault((note.sounding.cents, note.end), []).append(index)


def _new(heads: tuple[Note, ...], harmonic: Sound | None, end: int) -> Tone:
    first = heads[0]
    pitch, state, stopped = (harmonic.pitch, harmonic.state, harmonic.stopped) if harmonic else (first.sounding, "", None)
    if pitch is None or first.written is None:
        raise ValueError("a head without pitch is no tone")  # counted() keeps them out
    return _tone(
        heads, first.onset, end, pitch, first.written, first.measure, first.anchor, first.voice, first.staff,
        state, stopped, first.doubled,
    )  # fmt: skip


def _tied_to(heads: tuple[Note, ...], result: list[Tone], tied: _Waiting) -> int | None:
    """The tone that these heads go on with. Where several of one pitch end here, that of the same voice, else of the staff."""
    found: int | None = None
    for note in heads:
        waiting = tied.get((note.sounding.cents, note.onset)) if note.sounding is not None else None
        if not waiting or not _leads(note, TIE_STOP, "stop"):
            continue
        if found is None:
            found = min(waiting, key=lambda n: (result[n].last.voice != note.voice, result[n].last.staff != note.staff))
        if found in waiting:
            waiting.remove(found)
    return found


def _leads(note: Note, flag: int, kind: str) -> bool:
    """Whether a tie starts or stops here: as sound, or drawn, as the player reads it. Let-ring is neither."""
    return bool(note.flags & flag) or note.tied(kind)
