"""Ties of which a note is missing, or whose curve and sound disagree."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from xmlcheck.plugin import CUE, GRACE, TIE_START, TIE_STOP, Grade, Hit, Hits, Note, Part, Pitch, ScoreFacts, rule
from xmlcheck_export.jumps import Jumps

TIES = TIE_START | TIE_STOP
ROUNDING = 32
"""A tie still meets its note where lengths are rounded by up to this part of a quarter note."""


@rule
def tie_broken(score: ScoreFacts) -> Hits:
    """One hit for each tie that finds no note of its pitch where it ends or begins, and for curve and sound that disagree.

    A tie to another pitch is read as a slur, and tidied; one into nothing, or to the same line with another accidental, is
    asked. A file that draws no ties at all leaves the curves to the program that opens it.
    """
    slack = score.score.resolution // ROUNDING
    for part in score.score.parts:
        for note, fault, grade in _faults(part, Jumps(part), slack):
            yield Hit(at=(note,), values={"fault": fault}, part=part.id, grade=grade)


class _Places:
    """Ticks by pitch, to be asked with some slack."""

    def __init__(self, found: Iterable[tuple[Pitch, int]], slack: int) -> None:
        self._slack = slack
        self._ticks: dict[Pitch, list[int]] = defaultdict(list)
        for pitch, tick in found:
            self._ticks[pitch].append(tick)
        for ticks in self._ticks.values():
            ticks.sort()

    def has(self, pitch: Pitch, tick: int) -> bool:
        ticks = self._ticks.get(pitch, [])
        index = bisect_left(ticks, tick - self._slack)
        return index < len(ticks) and ticks[index] <= tick + self._slack


@dataclass(frozen=True, slots=True)
class _Tied:
    """A head with a tie: sounded or drawn, from here (`start`), to here (`stop`)."""

    note: Note
    pitch: Pitch
    start: bool
    stop: bool


def _faults(part: Part, jumps: Jumps, slack: int) -> Iterator[tuple[Note, str, Grade | None]]:
    heads = [(note, note.written) for note in part.notes if note.written is not None and not note.flags & (CUE | GRACE)]
    tied = [found for note, pitch in heads if (note.marks or note.flags & TIES) and (found := _tied(note, pitch)) is not None]
    if not tied:
        return
    begins = _Places(((pitch, note.onset) for note, pitch in heads), slack)
    carried = _Places(((item.pitch, item.note.end) for item in tied if item.start), slack)
    voices = {(note.onset, note.voice): pitch for note, pitch in heads}
    draws = any(item.note.tied("start") for item in tied)
    for item in tied:
        note, pitch = item.note, item.pitch
        followed = item.start and begins.has(pitch, note.end)
        bar = part.measures[note.measure]
        if item.start and not followed and not (jumps.leaves(bar.index) and note.end >= bar.onset + bar.length):
            other = voices.get((note.end, note.voice))
            if other is None:
                yield note, "without its second note", None
            else:
                altered = (other.step, other.octave) == (pitch.step, pitch.octave)
                yield note, f"between {pitch.name} and {other.name}", None if altered else Grade.TIDY
        if item.stop and not carried.has(pitch, note.onset) and not (jumps.arrives(bar.index) and note.onset == bar.onset):
            yield note, "without its first note", Grade.TIDY
        if followed and draws and note.tie_start != note.tied("start"):
            yield note, "played but not drawn" if note.tie_start else "drawn but not played", Grade.TIDY


def _tied(note: Note, pitch: Pitch) -> _Tied | None:
    start, stop = note.tie_start or note.tied("start"), note.tie_stop or note.tied("stop")
    return _Tied(note, pitch, start, stop) if start or stop else None
