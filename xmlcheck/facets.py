"""The universal facets: aspects that every instrument can have, whatever its mechanism.

A facet is a frozen dataclass with a `FACET` key, the name of its table in a profile. Leaves are `Cited` values; lists hold
records that carry their own `cite` and `certainty`. Mechanism plugins add facets of their own in the same way.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from xmlcheck.cited import Cited
from xmlcheck.errors import BadPlugin
from xmlcheck.finding import Certainty
from xmlcheck.pitch import Pitch


@dataclass(frozen=True, slots=True)
class Compass:
    """Lowest and highest sounding note the instrument has; the comfortable pair is what players take gladly and long."""

    FACET: ClassVar[str] = "compass"
    lowest: Cited[Pitch]
    highest: Cited[Pitch]
    comfortable_lowest: Cited[Pitch] | None = None
    comfortable_highest: Cited[Pitch] | None = None


@dataclass(frozen=True, slots=True)
class Convention:
    """One way in which players of the instrument read: sounding minus written.

    chromatic: semitones without octaves. diatonic: letter steps. octave: octaves. usual: the convention to assume where the
    file is silent. clef: the sign and line it belongs to ("F4"), where the convention depends on the clef.
    """

    id: str
    chromatic: Decimal
    diatonic: int
    octave: int
    usual: bool = False
    clef: str = ""
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    @property
    def semitones(self) -> Decimal:
        """Semitones to add to the written pitch, octaves included."""
        return self.chromatic + 12 * self.octave


@dataclass(frozen=True, slots=True)
class Reading:
    """All reading conventions in use for the instrument, the usual one first."""

    FACET: ClassVar[str] = "reading"
    conventions: tuple[Convention, ...]


@dataclass(frozen=True, slots=True)
class Technique:
    """One technique the instrument has, with the words and the standard's mark names that ask for it.

    lasting: in force until one of `cancels` (words) comes. against: mark names that contradict it while it is in force.
    native: its name in the instrument's own language and script.
    """

    id: str
    title: str
    words: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    cancels: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    lasting: bool = False
    native: str = ""
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Foreign:
    """Marks or words that mean nothing on the instrument, and the nearest thing that it has (`instead`, may be empty)."""

    id: str
    marks: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    instead: str = ""
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Techniques:
    """What the instrument's players do by name, and what they cannot be asked for."""

    FACET: ClassVar[str] = "techniques"
    has: tuple[Technique, ...] = ()
    foreign: tuple[Foreign, ...] = ()


@dataclass(frozen=True, slots=True)
class Polyphony:
    """at_once: most notes that one player can sound together. usual: how many are commonly written. ringing: whether notes ring
    on by themselves, so that only those struck together count.
    """

    FACET: ClassVar[str] = "polyphony"
    at_once: Cited[int]
    usual: Cited[int] | None = None
    ringing: Cited[bool] | None = None


@dataclass(frozen=True, slots=True)
class Breath:
    """Seconds of unbroken blowing at soft, middle and loud playing; circular: whether players of the tradition breathe in
    while they blow (a matter for the player alone, never a remedy to propose)."""

    FACET: ClassVar[str] = "breath"
    soft: Cited[float] | None = None
    middle: Cited[float] | None = None
    loud: Cited[float] | None = None
    circular: Cited[bool] | None = None


@dataclass(frozen=True, slots=True)
class Ensemble:
    """section: whether a part named in the plural or by desk is commonly played by several (they may divide chords)."""

    FACET: ClassVar[str] = "ensemble"
    section: Cited[bool]


RECORDINGS = ("together", "overdub")


@dataclass(frozen=True, slots=True)
class Session:
    """How a player is recorded: a table of a player in `xmlcheck.toml`, not of an instrument.

    recording: "together" with the others, or "overdub": in passes, each instrument and each line by itself unless passes have
    numbers. take: number of the pass, 0 where not said. Raises BadPlugin for another recording.
    """

    FACET: ClassVar[str] = "session"
    recording: str = "together"
    take: int = 0

    def __post_init__(self) -> None:
        if self.recording not in RECORDINGS:
            raise BadPlugin(f"[session], recording: one of {', '.join(RECORDINGS)}, found {self.recording!r}.")

    @property
    def overdub(self) -> bool:
        """Whether each line may have a pass of its own."""
        return self.recording == "overdub" and not self.take


UNIVERSAL: tuple[type, ...] = (Compass, Reading, Techniques, Polyphony, Breath, Ensemble, Session)
