"""How loud it is: the dynamic mark in force."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from xmlcheck.plugin import Chair

LEVELS = ("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff")
_ALSO = {"pppp": 0, "ppppp": 0, "pppppp": 0, "ffff": 7, "fffff": 7, "ffffff": 7, "fp": 2, "sfp": 2, "sfpp": 1, "pf": 5}
"""Other marks of the standard (element dynamics) by the level that holds after them; sf, sfz, fz, rf and rfz hold for a note."""


@dataclass(frozen=True)
class Loudness:
    """Dynamic levels by tick, 0 (ppp) to 7 (fff); None where a hairpin is under way and the level is not known."""

    ticks: tuple[int, ...]
    levels: tuple[int | None, ...]
    known: tuple[int | None, ...]

    def at(self, tick: int) -> int | None:
        """The level in force, None before the first mark and within a hairpin."""
        index = bisect_right(self.ticks, tick) - 1
        return self.levels[index] if index >= 0 else None

    def last(self, tick: int) -> int | None:
        """The last mark before, hairpins passed over."""
        index = bisect_right(self.ticks, tick) - 1
        return self.known[index] if index >= 0 else None


def level(mark: str) -> int | None:
    """The level of a dynamic mark, None where it says nothing that lasts."""
    text = mark.strip().casefold()
    return LEVELS.index(text) if text in LEVELS else _ALSO.get(text)


def loudness_of(chair: Chair) -> Loudness:
    """The dynamics of a chair's part. A hairpin ends at its end; what is marked there, or next, holds then."""
    ticks: list[int] = []
    levels: list[int | None] = []
    known: list[int | None] = []
    for tick, value in sorted(_events(chair), key=lambda event: event[0]):
        last = value if value is not None else (known[-1] if known else None)
        ticks.append(tick)
        levels.append(value)
        known.append(last)
    return Loudness(tuple(ticks), tuple(levels), tuple(known))


def _events(chair: Chair) -> Iterator[tuple[int, int | None]]:
    """(tick, level), and (tick, None) where a hairpin begins; its end is not known until a mark comes."""
    for direction in chair.directions:
        for mark in direction.marks:
            if mark.name == "wedge" and mark.type in ("crescendo", "diminuendo"):
                yield direction.onset, None
            elif mark.name == "dynamics" and (found := level(mark.value)) is not None:
                yield direction.onset, found
    for note in chair.notes:
        for mark in note.named("dynamics"):
            if (found := level(mark.value)) is not None:
                yield note.onset, found
