"""Strings and pitches in a player's words: numbers counted as that instrument's players do, names as the part spells them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from xmlcheck.plugin import Pitch, pitch
from xmlcheck_zither.facets import StringSet

_SHARPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_OCTAVE = re.compile(r"-?\d+(?=$|[+-]\d+c$)")


class Names:
    """Names of pitches and strings. spelled: how the part writes each pitch class."""

    def __init__(self, strings: StringSet, spelled: Iterable[Pitch] = ()) -> None:
        self.strings = strings
        counts = Counter((item.cents % 1200, item.step, item.alter) for item in spelled)
        self._letters = {key[0]: key for key, _ in sorted(counts.items(), key=lambda pair: pair[1])}
        for tuning in (strings.usual, *strings.tunings):
            for item in tuning.pitches:
                self._letters.setdefault(item.cents % 1200, (item.cents % 1200, item.step, item.alter))

    def pitch(self, cents: int, usual: Pitch | None = None) -> Pitch:
        """A pitch of this height: as the usual tuning has it where it is that one, else as the part spells it, else with sharps."""
        if usual is not None and usual.cents == cents:
            return usual
        known = self._letters.get(cents % 1200)
        if known is None:
            semitones, rest = divmod(cents, 100)
            name = f"{_SHARPS[semitones % 12]}{semitones // 12 - 1}" + (f"+{rest}c" if rest else "")
            return pitch(name)
        _, step, alter = known
        low = Pitch(step, alter, 0)
        return Pitch(step, alter, (cents - low.cents) // 1200)

    def string(self, index: int) -> str:
        """What players call the string at this place of the tunings."""
        if self.strings.by_letter:
            return self.strings.usual.pitches[index].name
        names = self.strings.names
        return names.value[index] if names is not None else str(index + 1)

    def strings_text(self, indices: Iterable[int]) -> str:
        """`string 4`, `strings 4, 9, 14, 19`."""
        names = [self.string(index) for index in indices]
        return f"{'string' if len(names) == 1 else 'strings'} {', '.join(names)}"

    def list_text(self, tuning: Mapping[int, int]) -> str:
        """All strings and their pitches in the players' own order: `1 D4, 2 G3 ...`; letters alone where they say it all."""
        usual = self.strings.usual.pitches
        pitches = [self.pitch(tuning[index], usual[index]).name for index in range(len(usual))]
        if self.strings.by_letter:
            return " ".join(pitches)
        return ", ".join(f"{self.string(index)} {name}" for index, name in enumerate(pitches))

    def moves(self, before: Mapping[int, int], after: Mapping[int, int]) -> tuple[Move, ...]:
        """What changes between two tunings, strings that go the same way together, in the order of their first string."""
        usual = self.strings.usual.pitches
        groups: dict[tuple[str, str, int], list[int]] = {}
        for index in range(len(usual)):
            cents = after[index] - before[index]
            if cents:
                old, new = self.pitch(before[index], usual[index]), self.pitch(after[index], usual[index])
                groups.setdefault((letter(old), letter(new), cents), []).append(index)
        return tuple(
            Move(tuple(indices), tuple(map(self.string, indices)), old, new, cents)
            for (old, new, cents), indices in groups.items()
        )


@dataclass(frozen=True, slots=True)
class Move:
    """Strings that are retuned alike: their places in the tunings, their names, the note before and after, cents."""

    indices: tuple[int, ...]
    strings: tuple[str, ...]
    before: str
    after: str
    cents: int

    @property
    def text(self) -> str:
        """`strings 4, 9, 14, 19: F# -> G`."""
        return f"{'string' if len(self.strings) == 1 else 'strings'} {', '.join(self.strings)}: {self.before} -> {self.after}"

    @property
    def values(self) -> dict[str, object]:
        """The move as the findings file holds it."""
        return {"strings": list(self.strings), "from": self.before, "to": self.after, "semitones": self.cents / 100}


def letter(item: Pitch) -> str:
    """A pitch's name without its octave: `F#`, `A-50c`."""
    return _OCTAVE.sub("", item.name, count=1)
