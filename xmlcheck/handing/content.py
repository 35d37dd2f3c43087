"""What one part sounds, bar by bar, in a form that two views of the same music share.

Concert and transposed views sound the same; ties, voices and staves are ways of writing; multi-rests are bars of rest. Cue
notes are no part of it, and cue-size notes may be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import TypeVar

from xmlcheck.model import CUE, HIDDEN, SILENT, SMALL, Note, Part, Score
from xmlcheck.partname import fold

T = TypeVar("T")
Height = int | str
"""Cents of a sounding pitch, or the staff position of an unpitched note."""
Tone = tuple[Fraction, Fraction, Height]
"""Place in the bar and length, both in quarter notes (a grace note has length 0), and height. Tied notes are one."""
Sign = tuple[Fraction, Height, str]

_SIGNS = {"articulations", "technical", "ornaments"}
_ALSO = {"fermata", "arpeggiate"}
OWN = frozenset(
    ("fingering", "string", "fret", "pluck", "hole", "up-bow", "down-bow", "thumb-position", "breath-mark", "caesura")
)
"""Signs that players and copyists add in a part (common practice, no source): not asked of the score."""


@dataclass(frozen=True)
class Content:
    """One part's music. tones: by bar, what is played; may: cue-size notes, played or not. signs: on notes, by bar.

    dynamics, words: by bar. lengths: of the bars, in quarter notes.
    """

    tones: tuple[frozenset[Tone], ...]
    may: tuple[frozenset[Tone], ...]
    signs: tuple[frozenset[Sign], ...]
    dynamics: tuple[frozenset[str], ...]
    words: tuple[frozenset[str], ...]
    lengths: tuple[Fraction, ...]
    cued: frozenset[int] = frozenset()

    @cached_property
    def shapes(self) -> tuple[frozenset[Tone], ...]:
        """The bars with heights counted from the lowest: the same in any transposition."""
        return tuple(map(_shape, self.tones))

    @cached_property
    def tally(self) -> Counter[frozenset[Tone]]:
        return Counter(bar for bar in self.shapes if bar)

    @property
    def silent(self) -> bool:
        return not any(self.tones)


def _shape(bar: frozenset[Tone]) -> frozenset[Tone]:
    low = min((height for _, _, height in bar if isinstance(height, int)), default=0)
    return frozenset((at, length, height - low if isinstance(height, int) else height) for at, length, height in bar)


def content(score: Score, part: Part) -> Content:
    """The content of one part."""
    count, ticks = len(part.measures), _Ticks(score.resolution)
    starts = [bar.onset for bar in part.measures]
    tones: list[set[Tone]] = [set() for _ in range(count)]
    may: list[set[Tone]] = [set() for _ in range(count)]
    signs: list[set[Sign]] = [set() for _ in range(count)]
    dynamics: list[set[str]] = [set() for _ in range(count)]
    words: list[set[str]] = [set() for _ in range(count)]
    cued: set[int] = set()
    for note, length in _joined(part, cued):
        where, at = note.measure, ticks.of(note.onset - starts[note.measure])
        tone = (at, Fraction(0) if note.grace else ticks.of(length), _height(note))
        (may if note.flags & SMALL and not note.grace else tones)[where].add(tone)
        for mark in note.marks:
            if mark.group == "articulations" or mark.group in _SIGNS or mark.name in _ALSO:
                signs[where].add((at, tone[2], mark.name))
            elif mark.name == "slur" and mark.type == "start":
                signs[where].add((at, tone[2], "slur"))
            elif mark.name == "dynamics":
                dynamics[where].add(mark.value)
    for direction in part.directions:
        for mark in direction.named("dynamics"):
            dynamics[direction.measure].add(mark.value)
        for mark in direction.named("wedge"):
            if mark.type in ("crescendo", "diminuendo"):
                dynamics[direction.measure].add(mark.type)
        if direction.words and not direction.named("metronome"):
            words[direction.measure].add(" ".join(fold(direction.words).split()))
    return Content(
        _frozen(tones),
        _frozen(may),
        _frozen(signs),
        _frozen(dynamics),
        _frozen(words),
        tuple(ticks.of(bar.length) for bar in part.measures),
        frozenset(cued),
    )


def _frozen(bars: list[set[T]]) -> tuple[frozenset[T], ...]:
    return tuple(map(frozenset, bars))


class _Ticks:
    """Ticks as fractions of a quarter note, each made once."""

    def __init__(self, resolution: int) -> None:
        self.resolution, self.known = resolution, dict[int, Fraction]()

    def of(self, ticks: int) -> Fraction:
        if ticks not in self.known:
            self.known[ticks] = Fraction(ticks, self.resolution)
        return self.known[ticks]


def _height(note: Note) -> Height:
    if note.sounding is not None:
        return note.sounding.cents
    return f"at {note.display}" if note.display is not None else "unpitched"


def _joined(part: Part, cued: set[int]) -> list[tuple[Note, int]]:
    """The notes that are played with their lengths in ticks, tied ones joined to the first.

    Across a barline a tie goes to the start of the next bar even where the bar is not filled: how long such a bar is depends on
    the other parts of the file.
    """
    found: list[tuple[Note, int]] = []
    ties: dict[Height, list[int]] = {}  # places of notes that wait for what they are tied to
    ends: dict[int, Note] = {}  # the last note joined to each of them
    for note in part.notes:
        if note.flags & CUE:
            cued.add(note.measure)
        if note.flags & (CUE | HIDDEN | SILENT):
            continue
        height = _height(note)
        starts = note.onset == part.measures[note.measure].onset
        waiting = ties.get(height, []) if note.tie_stop else []
        place = next(
            (n for n in waiting if ends[n].end == note.onset or (starts and ends[n].measure == note.measure - 1)), None
        )
        if place is not None:
            waiting.remove(place)
            found[place] = (found[place][0], found[place][1] + note.duration)
        else:
            place = len(found)
            found.append((note, note.duration))
        if note.tie_start:
            ties.setdefault(height, []).append(place)
            ends[place] = note
    return found


def union(contents: Iterable[Content]) -> Content:
    """What several parts sound together; unisons are one."""
    first, *rest = contents
    for one in rest:
        if len(one.tones) != len(first.tones):
            return first
        first = Content(
            _both(first.tones, one.tones),
            _both(first.may, one.may),
            _both(first.signs, one.signs),
            _both(first.dynamics, one.dynamics),
            _both(first.words, one.words),
            first.lengths,
            first.cued | one.cued,
        )
    return first


def _both(one: tuple[frozenset[T], ...], other: tuple[frozenset[T], ...]) -> tuple[frozenset[T], ...]:
    return tuple(a | b for a, b in zip(one, other, strict=True))


def likeness(one: Content, other: Content) -> float:
    """Share of bars with notes that both have, in whatever transposition and order: 0 to 1."""
    most = max(one.tally.total(), other.tally.total())
    return (one.tally & other.tally).total() / most if most else 0.0


def covered(one: Content, other: Content) -> float:
    """Share of the notes of `one` that stand in `other` at the same places: 0 to 1; 0 where there are none."""
    count = sum(map(len, one.tones))
    found = sum(len(a & b) for a, b in zip(one.tones, other.tones, strict=False))
    return found / count if count else 0.0
