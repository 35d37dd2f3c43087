"""What concerns players among each other: pitch standard, time to take an instrument up, forces.

Tables of a profile: `[pitch_standard]`, `[handling]`, `[forces]`. State nothing that is not known: a rule that misses a value stays
away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import Cited


@dataclass(frozen=True, slots=True)
class PitchStandard:
    """The pitch of A4 to which the instrument is made or customarily tuned.

    hz: of A4. raised_cents, lowered_cents: how far a player can bring the whole instrument up or down for a take; 0 where its
    pitch is fixed by the maker.
    """

    FACET: ClassVar[str] = "pitch_standard"
    hz: Cited[float]
    raised_cents: Cited[float] | None = None
    lowered_cents: Cited[float] | None = None


@dataclass(frozen=True, slots=True)
class Handling:
    """How long it takes to change instruments, played note to played note.

    take_seconds: to lay another instrument down and have this one ready, in place. kin_seconds: the same between two of one
    family that both state it, where that is quicker (one mouthpiece serves both). lay_seconds: to lay this one down and have
    another ready, where that takes longer than most.
    """

    FACET: ClassVar[str] = "handling"
    take_seconds: Cited[float]
    kin_seconds: Cited[float] | None = None
    lay_seconds: Cited[float] | None = None


@dataclass(frozen=True, slots=True)
class Forces:
    """players: how many play one part as a rule. ways: into how many lines a section divides without being thin."""

    FACET: ClassVar[str] = "forces"
    players: Cited[int]
    ways: Cited[int] | None = None
