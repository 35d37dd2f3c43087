"""Seconds: the tempo map and the timeline of the first pass through repeats."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from xmlcheck.facts.order import played_order
from xmlcheck.model import Part, Score

DEFAULT = 120
"""Quarter notes a minute where a file has no tempo at all (common practice, no source; said in a notice)."""


@dataclass(frozen=True, slots=True)
class TempoMap:
    """Ticks to seconds. ticks, starts: where each tempo begins, in ticks and seconds. rates: quarter notes a minute.

    given: whether the file states any tempo. order: bar indices as played, for the first pass.
    """

    resolution: int
    ticks: tuple[int, ...]
    rates: tuple[Fraction, ...]
    starts: tuple[float, ...]
    given: bool

    def at(self, tick: int) -> Fraction:
        """Quarter notes a minute in force at this tick."""
        return self.rates[max(0, bisect_right(self.ticks, tick) - 1)]

    def seconds(self, tick: int) -> float:
        """Seconds from the start in written order."""
        index = max(0, bisect_right(self.ticks, tick) - 1)
        length = (tick - self.ticks[index]) / self.resolution
        return self.starts[index] + length * 60 / float(self.rates[index])

    def between(self, start: int, end: int) -> float:
        """Seconds from one tick to another, in written order."""
        return self.seconds(end) - self.seconds(start)


def tempo_map(score: Score) -> TempoMap:
    """The tempo map of all parts together: <sound tempo>, and metronome marks where no sound stands at the same place."""
    found: dict[int, tuple[int, Fraction]] = {}
    for part in score.parts:
        for direction in part.directions:
            rank, rate = 2, _sound_rate(direction.sound.tempo if direction.sound else None)
            if rate is None:
                rank, rate = 1, _metronome_rate(direction.named("metronome"))
            if rate is not None and rank > found.get(direction.onset, (0, rate))[0]:
                found[direction.onset] = (rank, rate)
    changes = [(tick, rate) for tick, (_, rate) in sorted(found.items())]
    given = bool(changes)
    if not changes or changes[0][0] > 0:
        changes.insert(0, (0, changes[0][1] if changes else Fraction(DEFAULT)))
    starts, clock = [0.0], 0.0
    for (tick, rate), (following, _) in zip(changes, changes[1:], strict=False):
        clock += (following - tick) / score.resolution * 60 / float(rate)
        starts.append(clock)
    ticks, rates = zip(*changes, strict=True)
    return TempoMap(score.resolution, ticks, rates, tuple(starts), given)


def _sound_rate(tempo: object) -> Fraction | None:
    if tempo is None:
        return None
    rate = Fraction(str(tempo))
    return rate if Fraction(1) <= rate <= 2000 else None


def _metronome_rate(marks: Iterable[object]) -> Fraction | None:
    for mark in marks:
        text = mark.get("quarters-per-minute")  # type: ignore[attr-defined]
        if text:
            return _sound_rate(text)
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
    """The first-pass timeline of a part."""
    seconds: list[float | None] = [None] * len(part.measures)
    clock = 0.0
    for index in order if order is not None else played_order(part):
        bar = part.measures[index]
        if seconds[index] is None:
            seconds[index] = clock
        clock += tempo.between(bar.onset, bar.onset + bar.length)
    return FirstPass(tempo, tuple(bar.onset for bar in part.measures), tuple(seconds))
