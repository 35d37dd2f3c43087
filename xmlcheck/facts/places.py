"""Places in a reader's words: bar text, beat, rehearsal mark, seconds."""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property

from xmlcheck.facts.time import FirstPass
from xmlcheck.finding import Place
from xmlcheck.model import Measure, Part, Time
from xmlcheck.ticks import beat_text, quarters

_ORDINAL = {2: "2nd", 3: "3rd"}


class Places:
    """Turns a bar and a tick of one part into a `Place`."""

    def __init__(self, part: Part, resolution: int, clock: FirstPass) -> None:
        self._part, self._resolution, self._clock = part, resolution, clock
        self._times: list[Time] = [time for time in part.times if time.beats]
        self._time_ticks = [time.onset for time in self._times]
        marks = [(d.onset, mark.value) for d in part.directions for mark in d.named("rehearsal") if mark.value]
        self._rehearsal_ticks = [tick for tick, _ in marks]
        self._rehearsals = [text for _, text in marks]

    @cached_property
    def bars(self) -> tuple[str, ...]:
        """Every bar's text, told apart where the file uses a text twice: `1`, `1 (2nd)`."""
        seen: dict[str, int] = {}
        result = []
        for measure in self._part.measures:
            text = measure.text or measure.number or str(measure.index + 1)
            count = seen[text] = seen.get(text, 0) + 1
            result.append(text if count == 1 else f"{text} ({_ORDINAL.get(count, f'{count}th')})")
        return tuple(result)

    def beat(self, measure: Measure, tick: int) -> str:
        """Beat from 1 in the meter's denominators. A pickup bar counts so that it ends with the bar's last beat."""
        index = bisect_right(self._time_ticks, max(tick, measure.onset)) - 1
        unit, length = 4, None
        if index >= 0:
            time = self._times[index]
            unit = time.beats[0][1]
            length = time.quarters
        position = quarters(tick - measure.onset, self._resolution)
        filled = quarters(measure.length, self._resolution)
        if measure.index == 0 and length is not None and 0 < filled < length:
            position += length - filled
        return beat_text(position * unit / 4 + 1)

    def place(self, measure: int, tick: int, to: int | None = None) -> Place:
        """The place of a tick in bar index `measure`, as far as bar index `to` where a finding covers several bars."""
        if not 0 <= measure < len(self._part.measures):
            return Place()
        bar = self._part.measures[measure]
        mark = bisect_right(self._rehearsal_ticks, tick) - 1
        seconds = self._clock.seconds(measure, tick)
        last = to if to is not None and to > measure else None
        return Place(
            measure=bar.number,
            measure_index=measure,
            bar=self.bars[measure],
            beat=self.beat(bar, tick),
            to_measure=self._part.measures[last].number if last is not None else None,
            to_measure_index=last,
            to_bar=self.bars[last] if last is not None else None,
            seconds=None if seconds is None else round(seconds, 3),
            rehearsal=self._rehearsals[mark] if mark >= 0 else None,
        )
