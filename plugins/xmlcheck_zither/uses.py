"""The notes as they are played: repeats walked through, in seconds, notes struck together in one group."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from xmlcheck.plugin import Chair, Tone

SHORT_SECONDS = 0.25
"""A note shorter than this counts double in the choice of a tuning (ours, no source)."""
GRAPPLE = 0.012
"""Onsets closer than this are struck together."""
_BUSY = ("tremolo", "trill-mark", "wavy-line", "mordent", "inverted-mordent", "turn", "inverted-turn")


@dataclass(frozen=True, slots=True)
class Use:
    """One tone each time it is played. cents: as the chair reads it. start, end: seconds from the first note of the piece.

    turn: 1 the first time that its bar is played. number: its place among all uses.
    """

    tone: Tone
    cents: int
    start: float
    end: float
    turn: int
    number: int

    @property
    def pitch_class(self) -> int:
        return self.cents // 100 % 12

    @property
    def held_busy(self) -> bool:
        """Whether the hand goes on playing for as long as the note lasts."""
        return self.tone.has(*_BUSY)


@dataclass(frozen=True, slots=True)
class Struck:
    """Uses that begin together, from low to high."""

    uses: tuple[Use, ...]

    @property
    def start(self) -> float:
        return self.uses[0].start

    @property
    def end(self) -> float:
        return max(use.end for use in self.uses)

    @property
    def tones(self) -> tuple[Tone, ...]:
        return tuple(use.tone for use in self.uses)

    @property
    def broken(self) -> bool:
        """Whether the chord is written to be broken: its notes need not be struck at one moment."""
        return any(use.tone.has("arpeggiate") for use in self.uses)


class Played:
    """All uses of a chair in the order in which they are played."""

    def __init__(self, uses: tuple[Use, ...]) -> None:
        self.uses = uses

    @cached_property
    def struck(self) -> tuple[Struck, ...]:
        """The uses, those that begin together in one."""
        groups: list[list[Use]] = []
        for use in self.uses:
            if groups and use.start - groups[-1][0].start < GRAPPLE:
                groups[-1].append(use)
            else:
                groups.append([use])
        return tuple(Struck(tuple(sorted(group, key=lambda use: (use.cents, use.number)))) for group in groups)


def played(chair: Chair, height: Callable[[Tone], int]) -> Played:
    """The uses of a chair's tones. height: cents of a tone as the chair reads it. Harmonics are left out: their
    string is tuned to another pitch than the one that sounds."""
    bars = chair.part.measures
    by_bar: dict[int, list[Tone]] = {}
    for tone in chair.tones:
        if not tone.harmonic:
            by_bar.setdefault(tone.measure, []).append(tone)
    found: list[Use] = []
    turns: dict[int, int] = {}
    clock = 0.0
    for index in chair.facts.order:
        if index >= len(bars):
            continue
        bar = bars[index]
        turn = turns[index] = turns.get(index, 0) + 1
        for tone in by_bar.get(index, ()):
            start = clock + chair.seconds(bar.onset, tone.onset)
            end = start + chair.seconds(tone.onset, tone.end)
            found.append(Use(tone, height(tone), start, end, turn, len(found)))
        clock += chair.seconds(bar.onset, bar.onset + bar.length)
    found.sort(key=lambda use: (use.start, use.number))
    return Played(tuple(found))
