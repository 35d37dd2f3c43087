"""Pedal harp: seven letters, each flat, natural or sharp in all octaves, and the ways in which a chord can be spelled on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from xmlcheck_zither.planning.settings import Needed, Option, Way, fewest

LETTERS = "CDEFGAB"
NATURAL = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
POSITIONS = (-1, 0, 1)


@dataclass(frozen=True, slots=True)
class Spelled:
    """One note: its letter and alteration as written, in semitones. respell: whether another letter may take it."""

    letter: str
    alter: int
    respell: bool = True

    @property
    def pitch_class(self) -> int:
        return (NATURAL[self.letter] + self.alter) % 12


def letters_for(pitch_class: int, positions: Sequence[int] = POSITIONS) -> tuple[tuple[str, int], ...]:
    """The (letter, position) pairs that sound a pitch class: one for D, G, A and G sharp, two for the others."""
    every = product(LETTERS, positions)
    return tuple((letter, position) for letter, position in every if (NATURAL[letter] + position) % 12 == pitch_class)


def options(chord: Sequence[Spelled], positions: tuple[int, ...] = POSITIONS) -> tuple[Option, ...]:
    """Every way to set the letters for a chord; none where they clash. Items are the indices of LETTERS."""
    return _options(tuple(sorted(set(chord), key=lambda note: (note.letter, note.alter, note.respell))), positions)


@lru_cache(maxsize=4096)
def _options(notes: tuple[Spelled, ...], positions: tuple[int, ...]) -> tuple[Option, ...]:
    choices: list[tuple[tuple[str, int], ...]] = []
    for note in notes:
        own = ((note.letter, note.alter),) if note.alter in positions else ()
        others = letters_for(note.pitch_class, positions) if note.respell or not own else ()
        choices.append(tuple(dict.fromkeys((*own, *others))))
    found: dict[Needed, int] = {}
    for picks in product(*choices):
        letters: dict[str, int] = {}
        if all(letters.setdefault(letter, position) == position for letter, position in picks):
            needed = tuple(sorted((LETTERS.index(letter), position) for letter, position in letters.items()))
            otherwise = sum(pick != (note.letter, note.alter) for pick, note in zip(picks, notes, strict=True))
            found[needed] = min(otherwise, found.get(needed, otherwise))
    return tuple(Option(needed, otherwise) for needed, otherwise in found.items())


def pedalled(chords: Sequence[Sequence[Spelled]], positions: tuple[int, ...] = POSITIONS) -> Way:
    """The way through the chords with the fewest pedal changes."""
    return fewest([options(chord, positions) for chord in chords], len(LETTERS))


def as_written(chord: Sequence[Spelled]) -> tuple[Spelled, ...]:
    """The chord with its spelling kept: a note moves to another letter only where its own cannot sound it (F double sharp)."""
    return tuple(Spelled(note.letter, note.alter, respell=False) for note in chord)
