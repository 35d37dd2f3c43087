"""Strings that each have levers of their own: which string takes a note, in which position.

A string of a lever harp has two pitches, a semitone apart; a course of a mandal zither several. A note stands on the string of
its letter and octave where that one has the pitch, else on any other that has it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from xmlcheck_zither.planning.settings import Needed, Option, Way, fewest


@dataclass(frozen=True, slots=True)
class Row:
    """One string: the letter and octave it is called by, and every pitch that its levers give, in cents."""

    letter: str
    octave: int
    pitches: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """One note: its pitch in cents, and the letter and octave of its spelling. respell: whether another string may take it."""

    cents: int
    letter: str
    octave: int
    respell: bool = False


class Board:
    """All strings, with the places of each pitch. tolerance: cents by which a position may miss the pitch."""

    def __init__(self, rows: Sequence[Row], tolerance: int = 5) -> None:
        self.rows, self.tolerance = tuple(rows), tolerance
        self._kept: dict[Wanted, tuple[tuple[int, int], ...]] = {}

    def places(self, note: Wanted) -> tuple[tuple[int, int], ...]:
        """(string, position) pairs for a note, its own string first; others only where the own has not got it or may be left."""
        if note not in self._kept:
            every = [
                (abs(pitch - note.cents), (string, position))
                for string, row in enumerate(self.rows)
                for position, pitch in enumerate(row.pitches)
                if abs(pitch - note.cents) <= self.tolerance
            ]
            nearest: dict[int, tuple[int, int]] = {}
            for _, (string, position) in sorted(every, reverse=True):
                nearest[string] = string, position
            own = [place for string, place in nearest.items() if self._is_own(note, string)]
            others = [place for string, place in sorted(nearest.items()) if not self._is_own(note, string)]
            self._kept[note] = tuple(own + others if note.respell or not own else own)
        return self._kept[note]

    def _is_own(self, note: Wanted, string: int) -> bool:
        return (self.rows[string].letter, self.rows[string].octave) == (note.letter, note.octave)

    def options(self, chord: Sequence[Wanted]) -> tuple[Option, ...]:
        """Every way to play a chord: each string gives one pitch. A chord of many notes has its notes' first two places tried."""
        found: dict[Needed, int] = {}
        notes = list(dict.fromkeys(chord))
        choices = [self.places(note)[: 3 if len(notes) <= 5 else 2] for note in notes]
        for picks in product(*choices):
            strings: dict[int, int] = {}
            if all(strings.setdefault(string, position) == position for string, position in picks):
                otherwise = sum(not self._is_own(note, pick[0]) for note, pick in zip(notes, picks, strict=True))
                needed = tuple(sorted(strings.items()))
                found[needed] = min(otherwise, found.get(needed, otherwise))
        return tuple(Option(needed, otherwise) for needed, otherwise in found.items())

    def played(self, chords: Sequence[Sequence[Wanted]]) -> Way:
        """The way through the chords with the fewest lever changes."""
        return fewest([self.options(chord) for chord in chords], len(self.rows))
