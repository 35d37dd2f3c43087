"""What everyone must have alike: bars and their numbers, meters, keys, tempo, rehearsal marks, repeats."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher
from fractions import Fraction
from typing import Any

from xmlcheck.facts.time import TempoMap
from xmlcheck.handing.content import Content
from xmlcheck.model import Part, Score
from xmlcheck.partname import fold

Placed = tuple[int, Any]
"""Bar index, and what begins there."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame of a score or of a part. keys: as written, and as sounding; each entry stands where a change is."""

    numbers: tuple[str, ...]
    meters: tuple[Placed, ...]
    keys: tuple[Placed, ...]
    concert: tuple[Placed, ...]
    tempi: tuple[Placed, ...]
    rehearsals: frozenset[Placed]
    repeats: frozenset[Placed]


def frame(score: Score, parts: Iterable[Part], tempo: TempoMap) -> Frame:
    """The frame of these parts of a score; meters and keys are those of the first."""
    parts = tuple(parts)
    first = parts[0]
    written, concert = _keys(first)
    rehearsals: set[Placed] = set()
    repeats: set[Placed] = set()
    for part in parts:
        for direction in part.directions:
            for mark in direction.named("rehearsal"):
                rehearsals.add((direction.measure, " ".join(mark.value.split())))
            for name in ("segno", "coda"):
                if direction.named(name):
                    repeats.add((direction.measure, name))
            if direction.sound is not None:
                for name in ("dacapo", "dalsegno", "tocoda", "fine"):
                    if direction.sound.get(name):
                        repeats.add((direction.measure, name))
        for line in part.barlines:
            if line.repeat:
                repeats.add((line.measure, f"repeat {line.repeat}" + (f" {line.times} times" if line.times != 2 else "")))
            if line.ending[0] and line.ending[1] == "start":
                repeats.add((line.measure, f"ending {' '.join(line.ending[0].split())}"))
            for name in line.marks:
                if name in ("segno", "coda"):
                    repeats.add((line.measure, name))
    return Frame(
        tuple(bar.text for bar in first.measures),
        _changes((time.measure, time.beats) for time in first.times if time.staff in (0, 1)),
        written,
        concert,
        _tempi(first, tempo, score.resolution),
        frozenset(rehearsals),
        frozenset(repeats),
    )


def _changes(entries: Iterable[Placed]) -> tuple[Placed, ...]:
    """Without entries that only say again what is in force; of several in one bar the last."""
    found: list[Placed] = []
    for bar, value in sorted(dict(entries).items()):
        if not found or found[-1][1] != value:
            found.append((bar, value))
    return tuple(found)


def _keys(part: Part) -> tuple[tuple[Placed, ...], tuple[Placed, ...]]:
    """Keys as written and as they sound. A semitone up is seven fifths, counted in twelve."""
    written, concert = [], []
    for key in part.keys:
        if key.staff not in (0, 1):
            continue
        moves = [move for move in part.transposes if not move.for_part and move.onset <= key.onset and move.staff in (0, 1)]
        shift = int(moves[-1].chromatic) if moves else 0
        value: Any = key.fifths if key.fifths is not None else key.alters
        written.append((key.measure, value))
        concert.append((key.measure, (value + 7 * shift) % 12 if isinstance(value, int) else value))
    return _changes(written), _changes(concert)


def _tempi(part: Part, tempo: TempoMap, resolution: int) -> tuple[Placed, ...]:
    """Tempo changes as (bar, (place in quarter notes, quarters a minute)); none where the file gives no tempo."""
    if not tempo.given:
        return ()
    found: list[Placed] = []
    bars, index = part.measures, 0
    last: Fraction | None = None
    for tick, rate in zip(tempo.ticks, tempo.rates, strict=True):
        while index + 1 < len(bars) and bars[index + 1].onset <= tick:
            index += 1
        if rate != last and bars:
            found.append((index, (Fraction(tick - bars[index].onset, resolution), rate)))
        last = rate
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Bars:
    """Which bar of the part is which of the score. extra, missing: runs of bars (first, last) by index of their own file."""

    of_part: dict[int, int]
    missing: tuple[tuple[int, int], ...] = ()
    extra: tuple[tuple[int, int], ...] = ()

    @property
    def same(self) -> bool:
        return not (self.missing or self.extra)


def aligned(score: Content, part: Content, score_frame: Frame, part_frame: Frame) -> Bars:
    """Bar for bar where the counts agree; else by what the bars hold, their lengths, rehearsal marks and numbers."""
    if len(score.tones) == len(part.tones):
        return Bars({index: index for index in range(len(part.tones))})
    one, other = _tokens(score, score_frame), _tokens(part, part_frame)
    of_part: dict[int, int] = {}
    missing, extra = [], []
    for kind, a, b, c, d in SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        common = min(b - a, d - c) if kind in ("equal", "replace") else 0
        of_part |= {c + step: a + step for step in range(common)}
        if b - a > common:
            missing.append((a + common, b - 1))
        if d - c > common:
            extra.append((c + common, d - 1))
    return Bars(of_part, tuple(missing), tuple(extra))


def _tokens(one: Content, its: Frame) -> list[object]:
    marks: dict[int, list[str]] = {}
    for bar, text in its.rehearsals:
        marks.setdefault(bar, []).append(fold(text))
    return [
        (shape, length, tuple(sorted(marks.get(bar, ()))))
        for bar, (shape, length) in enumerate(zip(one.shapes, one.lengths, strict=True))
    ]
