"""A score against the clock: where in quarters and seconds each bar begins as it is played, repeats made."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from xmlcheck.facts.order import played_order
from xmlcheck.handing.reading import Music
from xmlcheck.model import CUE, HIDDEN, SILENT
from xmlcheck.ticks import beat_text


@dataclass(frozen=True, slots=True)
class Clock:
    """Bars in the order they are played. bars: index of each; quarters, seconds: where each begins; both have the end too."""

    bars: tuple[int, ...]
    texts: tuple[str, ...]
    quarters: tuple[Fraction, ...]
    seconds: tuple[float, ...]
    first_note: Fraction | None

    @property
    def length(self) -> float:
        """Seconds of the whole."""
        return self.seconds[-1]

    def place(self, text: str) -> int | None:
        """Where in the order the bar of this text first comes."""
        return next((place for place, bar in enumerate(self.bars) if self.texts[bar] == text), None)

    def near(self, seconds: float) -> str:
        """The bar in which a moment falls, and the quarter, rounded to an eighth: `bar 4, quarter 2+1/2`."""
        place = max(0, min(len(self.bars) - 1, bisect_right(self.seconds, seconds) - 1))
        span = self.seconds[place + 1] - self.seconds[place]
        quarters = self.quarters[place + 1] - self.quarters[place]
        share = (seconds - self.seconds[place]) / span if span else 0.0
        return f"bar {self.texts[self.bars[place]]}, quarter {beat_text(1 + Fraction(round(float(quarters) * share * 2), 2))}"


def clock(music: Music) -> Clock | None:
    """The clock of a score by its own tempi; None where it gives none, or has no bars."""
    parts, tempo, resolution = music.score.parts, music.tempo, music.score.resolution
    if not tempo.given or not parts[0].measures:
        return None
    bars = parts[0].measures
    order = played_order(*parts)
    quarters, seconds = [Fraction(0)], [0.0]
    for index in order:
        bar = bars[index]
        quarters.append(quarters[-1] + Fraction(bar.length, resolution))
        seconds.append(seconds[-1] + tempo.between(bar.onset, bar.onset + bar.length))
    onsets = [
        note.onset for part in parts for note in part.notes if not note.flags & (CUE | HIDDEN | SILENT) and not note.grace
    ]
    first = Fraction(min(onsets), resolution) if onsets else None
    return Clock(tuple(order), tuple(bar.text for bar in bars), tuple(quarters), tuple(seconds), first)


def at_beat(music: Music, its: Clock, text: str, beat: str) -> float | None:
    """Seconds of a bar and beat (in the meter's denominators, from 1) as first played; None where there is no such bar."""
    place = its.place(text)
    if place is None:
        return None
    part = music.score.parts[0]
    bar = part.measures[its.bars[place]]
    units = [time.beats[0][1] for time in part.times if time.measure <= bar.index and time.beats]
    unit = Fraction(4, units[-1] if units else 4)
    try:
        offset = (sum(Fraction(piece) for piece in beat.split("+")) - 1) * unit
    except (ValueError, ZeroDivisionError):
        return None
    tick = bar.onset + round(offset * music.score.resolution)
    return its.seconds[place] + music.tempo.between(bar.onset, tick)


def frames(seconds: float, rate: float) -> str:
    """A difference in seconds and frames: `0.36 s (9.0 frames at 25)`."""
    return f"{abs(seconds):.2f} s ({abs(seconds) * rate:.1f} frames at {rate:g})"


def timecode(seconds: float, rate: float) -> str:
    """`hh:mm:ss:ff`, counted without dropping, at the rate rounded up to whole frames."""
    whole = round(rate)
    count = round(seconds * rate)
    total, frame = divmod(count, whole)
    minutes, second = divmod(total, 60)
    return f"{minutes // 60:02}:{minutes % 60:02}:{second:02}:{frame:02}"


def worst(values: Sequence[float]) -> float:
    """The value farthest from zero; 0 for none."""
    return max(values, key=abs, default=0.0)
