"""The approved mock-up as a MIDI file: its tempo map, first note and end. Needs the extra `midi`; its reading follows the
Standard MIDI File format (RP-001): ticks a quarter note, tempo in microseconds a quarter note, 500 000 where none is given.
"""

from __future__ import annotations

import io
from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from xmlcheck.errors import Unreadable, Unsupported

USUAL = 500_000


@dataclass(frozen=True, slots=True)
class Mockup:
    """quarters, seconds, micros: where each tempo begins, and microseconds a quarter. first: of the first note; end: of the last."""

    quarters: tuple[Fraction, ...]
    seconds: tuple[float, ...]
    micros: tuple[int, ...]
    first: Fraction | None
    end: Fraction

    def at(self, quarters: Fraction) -> float:
        """Seconds of a place in quarter notes."""
        index = max(0, bisect_right(self.quarters, quarters) - 1)
        return self.seconds[index] + float(quarters - self.quarters[index]) * self.micros[index] / 1e6


def read_midi(data: bytes, name: str) -> Mockup:
    """Raises Unsupported without the library or for time-code division, Unreadable for what is no MIDI file."""
    try:
        import mido  # type: ignore[import-untyped,unused-ignore]  # it has no types
    except ImportError:
        raise Unsupported(f"{name}: not read; it needs: pip install 'xmlcheck[midi]'") from None
    try:
        file = mido.MidiFile(file=io.BytesIO(data))
    except Exception as error:  # the library raises many kinds for broken files
        raise Unreadable(f"{name}: is no MIDI file that can be read ({type(error).__name__}: {error}).") from None
    if file.ticks_per_beat <= 0 or file.type == 2:
        raise Unsupported(
            f"{name}: counts in time code or in independent patterns; export it with quarter notes as its time base."
        )
    tempi: dict[int, int] = {0: USUAL}
    starts, ends = [], []
    for track in file.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "set_tempo":
                tempi[now] = message.tempo
            elif message.type == "note_on" and message.velocity > 0:
                starts.append(now)
            elif message.type in ("note_on", "note_off"):
                ends.append(now)
    ticks = sorted(tempi)
    seconds = [0.0]
    for before, after in pairwise(ticks):
        seconds.append(seconds[-1] + (after - before) / file.ticks_per_beat * tempi[before] / 1e6)
    per = file.ticks_per_beat
    return Mockup(
        tuple(Fraction(tick, per) for tick in ticks),
        tuple(seconds),
        tuple(tempi[tick] for tick in ticks),
        Fraction(min(starts), per) if starts else None,
        Fraction(max(ends, default=0), per),
    )
