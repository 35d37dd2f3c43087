"""Ties of which a note is missing, or whose curve and sound disagree."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator

from xmlcheck.plugin import Grade, Hit, Hits, Note, Part, Pitch, ScoreFacts, rule
from xmlcheck_export.jumps import Jumps

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
        for pitch, tick in sorted(found, key=lambda item: item[1]):
            self._ticks[pitch].append(tick)

    def has(self, pitch: Pitch, tick: int) -> bool:
        ticks = self._ticks.get(pitch, [])
        index = bisect_left(ticks, tick - self._slack)
        return index < len(ticks) and ticks[index] <= tick + self._slack


def _faults(part: Part, jumps: Jumps, slack: int) -> Iterator[tuple[Note, str, Grade | None]]:
    heads = [(note, note.written) for note in part.notes if note.written is not None and not note.cue and not note.grace]
    begins = _Places(((pitch, note.onset) for note, pitch in heads), slack)
    carried = _Places(((pitch, note.end) for note, pitch in heads if _ties(note, "start")), slack)
    voices = {(note.onset, note.voice): pitch for note, pitch in heads}
    draws = any(note.tied("start") for note, _ in heads)
    for note, pitch in heads:
        start, stop = _ties(note, "start"), _ties(note, "stop")
        followed = start and begins.has(pitch, note.end)
        bar = part.measures[note.measure]
        if start and not followed and not (jumps.leaves(bar.index) and note.end >= bar.onset + bar.length):
            other = voices.get((note.end, note.voice))
            if other is None:
                yield note, "without its second note", None
            else:
                altered = (other.step, other.octave) == (pitch.step, pitch.octave)
                yield note, f"between {pitch.name} and {other.name}", None if altered else Grade.TIDY
        if stop and not carried.has(pitch, note.onset) and not (jumps.arrives(bar.index) and note.onset == bar.onset):
            yield note, "without its first note", Grade.TIDY
        if followed and draws and note.tie_start != note.tied("start"):
            yield note, "played but not drawn" if note.tie_start else "drawn but not played", Grade.TIDY


def _ties(note: Note, kind: str) -> bool:
    return (note.tie_start if kind == "start" else note.tie_stop) or note.tied(kind)
