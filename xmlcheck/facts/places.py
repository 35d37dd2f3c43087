"""Places in a reader's words: bar text, beat, rehearsal mark, seconds."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cached_property

from xmlcheck.facts.time import FirstPass
from xmlcheck.finding import Place
from xmlcheck.model import Measure, Part, Time
from xmlcheck.ticks import beat_text

Marks = Sequence[tuple[int, str]]  # (tick, text), sorted


def rehearsals(parts: Iterable[Part]) -> Marks:
    """The rehearsal marks of all these parts: most files print them in the top part only."""
    found: dict[int, str] = {}
    for part in parts:
        for direction in part.directions:
            for mark in direction.named("rehearsal"):
                if mark.value.strip():
                    found.setdefault(direction.onset, " ".join(mark.value.split()))
    return sorted(found.items())


class Places:
    """Turns a bar and a tick of one part into a `Place`. marks: rehearsal marks, by default the part's own."""

    def __init__(self, part: Part, resolution: int, clock: FirstPass, marks: Marks | None = None) -> None:
        self._part, self._resolution, self._clock = part, resolution, clock
        self._times: list[Time] = [time for time in part.times if time.staff < 2]
        self._time_ticks = [time.onset for time in self._times]
        self._marks = rehearsals((part,)) if marks is None else marks
        self._mark_ticks = [tick for tick, _ in self._marks]
        self._meters: dict[int, tuple[int, int, Time | None]] = {}

    @cached_property
    def bars(self) -> tuple[str, ...]:
        """Every bar's text, told apart where the file uses a text twice: `1`, `1 (2nd)`."""
        seen: dict[str, int] = {}
        result = []
        for measure in self._part.measures:
            text = measure.text or measure.number or str(measure.index + 1)
            count = seen[text] = seen.get(text, 0) + 1
            result.append(text if count == 1 else f"{text} ({_ordinal(count)})")
        return tuple(result)

    def beat(self, measure: Measure, tick: int) -> str:
        """Beat from 1 in the meter's denominators, quarters where there is no meter.

        A pickup bar, and the second half of a bar that is divided around a repeat, count so that they end with the bar's last
        beat.
        """
        meter = self._meters.get(measure.index)
        if meter is None:
            meter = self._meters[measure.index] = self._meter(measure)
        unit, shift, mixed = meter
        position = tick - measure.onset + shift
        if mixed is not None:
            return beat_text(_mixed_beats(mixed, Fraction(position, self._resolution)) + 1)
        return beat_text(Fraction(position * unit, 4 * self._resolution) + 1)

    def _meter(self, measure: Measure) -> tuple[int, int, Time | None]:
        """A bar's beat type, the ticks before its start that belong to the same bar, and the meter if its beat types differ."""
        index = bisect_right(self._time_ticks, measure.onset) - 1
        time = self._times[index] if index >= 0 else None
        if time is None or not time.beats:
            return 4, 0, None
        full = round(time.quarters * self._resolution) if time.quarters is not None else 0
        missing = full - measure.length if 0 < measure.length < full and self._counts_on(measure, full) else 0
        units = {unit for _, unit in time.beats}
        return time.beats[0][1], missing, time if len(units) > 1 else None

    def _counts_on(self, measure: Measure, full: int) -> bool:
        """Whether a short bar is the end of one: a pickup, or the second half of a divided bar."""
        measures = self._part.measures
        if measure.index:
            return _continues(measure, measures[measure.index - 1])
        following = measures[1] if len(measures) > 1 else None
        return following is not None and not (_continues(following, measure) and measure.length + following.length == full)

    def place(self, measure: int, tick: int, to: int | None = None) -> Place:
        """The place of a tick in bar index `measure`, as far as bar index `to` where a finding covers several bars."""
        measures = self._part.measures
        if not 0 <= measure < len(measures):
            return Place()
        bar = measures[measure]
        mark = bisect_right(self._mark_ticks, tick) - 1
        seconds = self._clock.seconds(measure, tick)
        last = min(to, len(measures) - 1) if to is not None and to > measure else None
        last = None if last == measure else last
        return Place(
            measure=bar.number,
            measure_index=measure,
            bar=self.bars[measure],
            beat=self.beat(bar, tick),
            to_measure=measures[last].number if last is not None else None,
            to_measure_index=last,
            to_bar=self.bars[last] if last is not None else None,
            seconds=None if seconds is None else round(seconds, 3),
            rehearsal=self._marks[mark][1] if mark >= 0 else None,
        )


def _continues(measure: Measure, before: Measure) -> bool:
    return measure.implicit or measure.number == before.number


def _ordinal(number: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 12th, 13th, 21st ..."""
    last = 0 if number // 10 % 10 == 1 else number % 10
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(last, 'th') }"


def _mixed_beats(time: Time, quarters: Fraction) -> Fraction:
    """Beats before a place in a meter of several beat types (2/4 + 3/8), each counted in its own."""
    beats = Fraction(0)
    for text, unit in time.beats:
        count = sum(int(number) for number in text.split("+") if number.strip().isdecimal())
        length = Fraction(4 * count, unit)
        if quarters < length:
            return beats + quarters * unit / 4
        beats, quarters = beats + count, quarters - length
    return beats + quarters * time.beats[-1][1] / 4
