"""Strings, stops and fingerings in words, and what would make a chord playable."""

from __future__ import annotations

from collections.abc import Sequence

from xmlcheck.plugin import Pitch
from xmlcheck_strings.board import Stop
from xmlcheck_strings.chords import Chord
from xmlcheck_strings.shapes import Shape, best
from xmlcheck_strings.stringing import Stringing

_ROMAN = ("I", "II", "III", "IV", "V", "VI")


def string_name(open: Sequence[Pitch], string: int) -> str:
    """A string, counted from the treble side: `IV (G3)`; where there are more than six, its pitch alone."""
    number = len(open) - 1 - string
    return f"{_ROMAN[number]} ({open[string].name})" if len(open) <= len(_ROMAN) else f"the {open[string].name} string"


def stop_name(open: Sequence[Pitch], stop: Stop) -> str:
    """A string and a stop: `IV (G3) open`, `III (D4) +5` for five semitones above the open string."""
    return f"{string_name(open, stop.string)} {f'+{stop.stop:.3g}' if stop.stop else 'open'}"


def shape_name(open: Sequence[Pitch], shape: Shape) -> str:
    """A fingering, string by string from the bass side."""
    return ", ".join(stop_name(open, stop) for stop in shape.stops)


def open_strings(stringing: Stringing, tick: int) -> tuple[Pitch, ...]:
    """The open strings as the hand knows them at this tick."""
    return stringing.usual if stringing.fingered else stringing.pitches_at(tick)


def without_one(chord: Chord, open: Sequence[Pitch]) -> str:
    """The fingering of the most notes that fit when one is left to somebody else; empty where that does not help."""
    for index, tone in enumerate(chord.tones):
        rest = chord.heights[:index] + chord.heights[index + 1 :]
        shape = best(chord.board, rest, chord.side_by_side)
        if shape is not None and shape.fits:
            return f"without {tone.sounding.name}: {shape_name(open, shape)}"
    return ""


def ways_out(chord: Chord, open: Sequence[Pitch]) -> tuple[str, ...]:
    """What would make a chord playable, ranked: a second player; one note in another octave, which changes the music."""
    found = []
    fits = without_one(chord, open)
    if fits:
        found.append(f"A second player, or a second take, for one note; {fits}.")
    for index, tone in enumerate(chord.tones):
        for octaves, where in ((1, "higher"), (-1, "lower")):
            moved = sorted({*chord.heights[:index], *chord.heights[index + 1 :], chord.heights[index] + 1200 * octaves})
            shape = best(chord.board, moved, chord.side_by_side)
            if shape is not None and shape.fits and len(moved) == len(chord.heights):
                told = shape_name(open, shape)
                found.append(f"{tone.sounding.name} an octave {where} ({told}), which changes the approved music.")
                return tuple(found)
    return tuple(found)
