"""What concerns players among each other: pitch standard, time to take an instrument up, forces, how the session records.

Tables of a profile: `[pitch_standard]`, `[handling]`, `[forces]`. The table `[session]` belongs into a player's tables in
`xmlcheck.toml`: it says how this player is recorded. State nothing that is not known: a rule that misses a value stays away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Cited

RECORDINGS = ("live", "overdub")


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
    """take_seconds: to lay another instrument down and have this one ready to play, warm and in place."""

    FACET: ClassVar[str] = "handling"
    take_seconds: Cited[float]


@dataclass(frozen=True, slots=True)
class Forces:
    """players: how many play one part as a rule. ways: into how many lines a section divides without being thin."""

    FACET: ClassVar[str] = "forces"
    players: Cited[int]
    ways: Cited[int] | None = None


@dataclass(frozen=True, slots=True)
class Session:
    """How a player is recorded. recording: "live" with the others, or "overdub". take: number of the pass, 0 where not said.

    In passes of their own, instruments are changed between takes, so time for it is no matter.
    """

    FACET: ClassVar[str] = "session"
    recording: str = "live"
    take: int = 0

    def __post_init__(self) -> None:
        if self.recording not in RECORDINGS:
            raise BadPlugin(f"[session], recording: one of {', '.join(RECORDINGS)}, found {self.recording!r}.")

    @property
    def apart(self) -> bool:
        """Whether each instrument is recorded in a pass of its own."""
        return self.recording == "overdub" or self.take > 0
