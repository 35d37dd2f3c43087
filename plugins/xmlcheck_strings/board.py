"""The stringed neck as a place: which string gives which pitch, where along it, and what one hand holds there.

A stop is a distance in semitones above the open string; `x` turns it into millimetres from the nut: x = L (1 - 2^(-stop/12)),
L the length of the open string (equal division of frequency; arithmetic, no source needed). Strings are counted from the bass
side, from 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, log2

FRET_CENTS = 35
"""Cents by which a written pitch may differ from a fret and still be that fret (ours, no source)."""
STOPPED = 0.25
"""Stops nearer to the open string than this, in semitones, are the open string (ours)."""


@dataclass(frozen=True, slots=True)
class Grip:
    """What the hand holds: millimetres between the outer fingers without a shift, and at the most.

    barre: whether one finger can lie across strings. thumb_from: the stop from which the thumb is a finger more.
    """

    reach_mm: float
    stretch_mm: float
    fingers: int
    barre: bool = False
    thumb_from: float | None = None


@dataclass(frozen=True, slots=True)
class Neck:
    """What does not change with the tuning. tops: highest stop of each string; 0 for one that is only played open.

    scale_mm: None where it is not known, then nothing is measured. frets: cents above the open string in rising order, None
    where every pitch can be stopped. starts: stop at which a short string begins. bend_up, bend_down: cents.
    """

    tops: tuple[float, ...]
    scale_mm: float | None = None
    frets: tuple[int, ...] | None = None
    starts: tuple[int, ...] = ()
    bend_up: int = 0
    bend_down: int = 0
    grip: Grip | None = None


@dataclass(frozen=True, slots=True)
class Stop:
    """One way to sound a pitch: the string, the stop above its open pitch, and cents of bend."""

    string: int
    stop: float
    bend: int = 0


class Board:
    """A neck with a tuning. `open`: cents of each string from the bass side; `also`: further pitches of a course."""

    def __init__(self, neck: Neck, open: Sequence[int], also: Sequence[tuple[int, ...]] = ()) -> None:
        self.neck, self.open = neck, tuple(open)
        self.also = tuple(also) or ((),) * len(self.open)
        self.last = ceil(max(neck.tops, default=0)) + 1
        """Highest place of the first finger."""
        self.anywhere = (1 << (self.last + 1)) - 2
        """The places 1 to `last` as bits: an open string leaves the hand anywhere."""
        self._stops: dict[int, tuple[Stop, ...]] = {}
        self._masks: dict[int, int] = {}

    def x(self, stop: float) -> float:
        """Millimetres from the nut; 0 where the length is not known."""
        return self.neck.scale_mm * (1 - 2 ** (-stop / 12)) if self.neck.scale_mm else 0.0

    def at(self, mm: float) -> float:
        """The stop that lies so many millimetres from the nut: the inverse of `x`."""
        assert self.neck.scale_mm
        return -12 * log2(1 - mm / self.neck.scale_mm)

    def stops(self, cents: int) -> tuple[Stop, ...]:
        """All ways to sound a pitch, from the bass side; empty where no string gives it."""
        found = self._stops.get(cents)
        if found is None:
            found = self._stops[cents] = tuple(
                stop for string in range(len(self.open)) for stop in self._on(string, cents) if stop is not None
            )
        return found

    def on(self, string: int, cents: int) -> Stop | None:
        """The way to sound a pitch on this string, or None."""
        return next((stop for stop in self.stops(cents) if stop.string == string), None)

    def _on(self, string: int, cents: int) -> list[Stop]:
        neck, start = self.neck, self.neck.starts[string] if self.neck.starts else 0
        for opened in (self.open[string], *self.also[string]):
            above = cents - opened
            if abs(above) <= 100 * STOPPED:
                return [Stop(string, 0.0)]
            if above < 0 or not neck.tops[string]:
                continue
            if neck.frets is None:
                if above <= 100 * neck.tops[string]:
                    return [Stop(string, start + above / 100)]
                continue
            fret = self._fret(above, neck.tops[string])
            if fret is not None:
                return [Stop(string, start + fret / 100, above - fret)]
        return []

    def _fret(self, above: int, top: float) -> int | None:
        """The fret for a pitch so many cents above the open string: the nearest within tolerance, else one to bend from."""
        frets = [0, *(fret for fret in self.neck.frets or () if fret <= 100 * top)]
        nearest = min(frets, key=lambda fret: abs(fret - above))
        if nearest and abs(nearest - above) <= FRET_CENTS:
            return nearest
        bent = [fret for fret in frets[1:] if -self.neck.bend_down <= above - fret <= self.neck.bend_up]
        return min(bent, key=lambda fret: abs(fret - above), default=None)

    def places(self, low: float, high: float, limit_mm: float) -> int:
        """Places of the first finger, as bits, from which stops `low` to `high` lie within `limit_mm`. 0 for none."""
        mask, reached = 0, self.x(high) - limit_mm - 1e-9
        for place in range(1, min(self.last, int(low + 0.5)) + 1):
            if self.x(min(place, low)) >= reached:
                mask |= 1 << place
        if not mask and low < 1 and self.x(low) >= reached:
            mask = 2
        return mask

    def mask(self, cents: int) -> int:
        """Places of the hand from which one note can be played, on whatever string. 0 where no string gives it."""
        found = self._masks.get(cents)
        if found is None:
            found, grip = 0, self.neck.grip
            for stop in self.stops(cents):
                if not stop.stop or grip is None or not self.neck.scale_mm:
                    found = self.anywhere
                    break
                found |= self.places(stop.stop, stop.stop, grip.reach_mm)
            self._masks[cents] = found
        return found
