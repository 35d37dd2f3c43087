"""Seconds: the tempo map and the timeline of the first pass through repeats."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from xmlcheck.facts.order import played_order
from xmlcheck.model import Mark, Part, Score
from xmlcheck.ticks import decimal

DEFAULT = 120
"""Quarter notes a minute where a file has no tempo at all (common practice, no source; said in a notice)."""
SLOWEST, FASTEST = 1, 2000
"""Quarter notes a minute; what lies outside is no tempo (ours)."""


@dataclass(frozen=True, slots=True)
class TempoMap:
    """Ticks to seconds. ticks, starts: where each tempo begins, in ticks and seconds. rates: quarter notes a minute.

    resolution: ticks a quarter note. given: whether the file states any tempo. paces: seconds a tick.
    """

    resolution: int
    ticks: tuple[int, ...]
    rates: tuple[Fraction, ...]
    starts: tuple[float, ...]
    given: bool
    paces: tuple[float, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # Seconds are asked for many times a note; fractions would make that the slowest part of a check.
        object.__setattr__(self, "paces", tuple(60 / float(rate) / self.resolution for rate in self.rates))

    def at(self, tick: int) -> Fraction:
        """Quarter notes a minute in force at this tick."""
        return self.rates[max(0, bisect_right(self.ticks, tick) - 1)]

    def seconds(self, tick: int) -> float:
        """Seconds from the start in written order."""
        index = max(0, bisect_right(self.ticks, tick) - 1)
        return self.starts[index] + (tick - self.ticks[index]) * self.paces[index]

    def between(self, start: int, end: int) -> float:
        """Seconds from one tick to another, in written order."""
        index = max(0, bisect_right(self.ticks, start) - 1)
        if start <= end and (index + 1 == len(self.ticks) or end <= self.ticks[index + 1]):
            return (end - start) * self.paces[index]
        return self.seconds(end) - self.seconds(start)


def tempo_map(score: Score) -> TempoMap:
    """The tempo map of all parts together: <sound tempo>, and metronome marks where no sound stands at the same place.

    Of several parts that give a tempo at one place the first decides, and in it what stands last. The first tempo of the file
    holds from its start.
    """
    sounds: dict[int, Fraction] = {}
    marks: dict[int, Fraction] = {}
    for part in score.parts:
        own_sounds, own_marks = _tempi(part)
        sounds = own_sounds | sounds
        marks = own_marks | marks
    changes = sorted((marks | sounds).items())
    given = bool(changes)
    if not changes or changes[0][0] > 0:
        changes.insert(0, (0, changes[0][1] if changes else Fraction(DEFAULT)))
    starts, clock = [0.0], 0.0
    for (tick, rate), (following, _) in pairwise(changes):
        clock += (following - tick) / score.resolution * 60 / float(rate)
        starts.append(clock)
    ticks, rates = zip(*changes, strict=True)
    return TempoMap(score.resolution, ticks, rates, tuple(starts), given)


def _tempi(part: Part) -> tuple[dict[int, Fraction], dict[int, Fraction]]:
    """Tempi of one part by tick: of <sound>, where it takes effect, and of metronome marks that have no such sound."""
    sounds: dict[int, Fraction] = {}
    marks: dict[int, Fraction] = {}
    for direction in part.directions:
        rate = _sensible(direction.sound.tempo) if direction.sound is not None else None
        if rate is not None:
            sounds[direction.sound_at] = rate
        elif (printed := _printed(direction.named("metronome"))) is not None:
            marks[direction.onset] = printed
    return sounds, marks


def _sensible(tempo: Decimal | None) -> Fraction | None:
    return Fraction(tempo) if tempo is not None and SLOWEST <= tempo <= FASTEST else None


def _printed(marks: Iterable[Mark]) -> Fraction | None:
    """What a metronome mark says; of a range ("60-66") the middle (ours)."""
    for mark in marks:
        low = _sensible(decimal(mark.get("quarters-per-minute")))
        high = _sensible(decimal(mark.get("quarters-per-minute-high")))
        if low is not None:
            return low if high is None else (low + high) / 2
    return None


@dataclass(frozen=True, slots=True)
class FirstPass:
    """Seconds at which each bar begins when the piece is played through, repeats and jumps made: its first time."""

    tempo: TempoMap
    bar_ticks: tuple[int, ...]
    bar_seconds: tuple[float | None, ...]

    def seconds(self, measure: int, tick: int) -> float | None:
        """Seconds of an event in bar `measure`; None where the bar is never reached."""
        if not 0 <= measure < len(self.bar_seconds):
            return None
        start = self.bar_seconds[measure]
        return None if start is None else start + self.tempo.between(self.bar_ticks[measure], tick)


def first_pass(part: Part, tempo: TempoMap, order: Sequence[int] | None = None) -> FirstPass:
    """The first-pass timeline of a part. order: bars as played, by default as the part's own signs say."""
    seconds: list[float | None] = [None] * len(part.measures)
    clock = 0.0
    for index in order if order is not None else played_order(part):
        bar = part.measures[index]
        if seconds[index] is None:
            seconds[index] = clock
        clock += tempo.between(bar.onset, bar.onset + bar.length)
    return FirstPass(tempo, tuple(bar.onset for bar in part.measures), tuple(seconds))
