"""Which string takes which note of a chord: each string gives one pitch at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice, product

from xmlcheck_zither.planning.reach import Reach


def strings_for(pitch: int, tuning: Sequence[int], reach: Reach) -> tuple[tuple[int, int], ...]:
    """(half points of effort, index of the string) for every string that gives this pitch, least effort first."""
    found = [(effort, index) for index, open_ in enumerate(tuning) if (effort := reach.effort(pitch - open_)) is not None]
    return tuple(sorted(found))


def sharings(pitches: Sequence[int], tuning: Sequence[int], reach: Reach, most: int = 500) -> Iterator[tuple[int, ...]]:
    """Every way to give each pitch a string of its own, as indices of strings, the first `most` of them."""
    wanted = [[string for _, string in strings_for(pitch, tuning, reach)] for pitch in pitches]
    ways = (way for way in product(*wanted) if len(set(way)) == len(way))
    return islice(ways, most)


@lru_cache(maxsize=20000)
def taken(pitches: tuple[int, ...], tuning: tuple[int, ...], reach: Reach) -> tuple[int | None, ...]:
    """For each pitch the index of the string that takes it, None for those that no string is left for.

    As many pitches as can be are served (a largest matching); open strings are preferred, in the order of the pitches.
    """
    wanted = [strings_for(pitch, tuning, reach) for pitch in pitches]
    holder: dict[int, int] = {}

    def place(note: int, tried: set[int]) -> bool:
        for _, string in wanted[note]:
            if string not in tried and string not in holder:
                holder[string] = note
                return True
        for _, string in wanted[note]:
            if string not in tried:
                tried.add(string)
                if place(holder[string], tried):
                    holder[string] = note
                    return True
        return False

    for note in sorted(range(len(pitches)), key=lambda n: (wanted[n][0][0] if wanted[n] else 99, n)):
        place(note, set())
    by_note = {note: string for string, note in holder.items()}
    return tuple(by_note.get(note) for note in range(len(pitches)))
