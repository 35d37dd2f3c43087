"""Where the reader is in a part, and what it has found there so far.

Onsets are kept from the start of their bar, because how long a bar is shows only when all parts have been read; `assemble`
makes the model's values of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, TypeVar

from xmlcheck.model import (
    Barline,
    Clef,
    Direction,
    Harmonic,
    Key,
    Mark,
    MeasureStyle,
    Time,
    Transpose,
    Tuning,
)
from xmlcheck.pitch import Pitch
from xmlcheck.reader.faults import Faults
from xmlcheck.reader.grid import Grid, Ticks
from xmlcheck.reader.notices import Notices

if TYPE_CHECKING:
    from xmlcheck.reader.alike import Alike

RawNote = tuple[
    int, int, int, int, str, int, Pitch | None, int, tuple[Mark, ...], str, int, tuple[int, int] | None, str, str,
    tuple[str, ...], Harmonic | None, Pitch | None, Decimal | None, int,
]  # fmt: skip
"""onset in its bar, duration, bar index, anchor, voice, staff, written pitch, then the fields of Note from `flags` on, but
without `doubled`."""
RawRest = tuple[int, int, int, int, str, int, bool, bool, tuple[Mark, ...], str, int, bool]
"""onset in its bar, then the fields of Rest from `duration` on."""

T = TypeVar("T")
Later = tuple[int, Callable[[int], T]]
"""A bar index, and what makes the value once the start of that bar is known in ticks."""


@dataclass(slots=True)
class RawMeasure:
    """One bar before its place in time is known.

    filled: ticks to the furthest point written; sounded: to the furthest end of a note. nominal: by the meter, 0 if unknown.
    """

    number: str
    text: str
    anchor: int
    implicit: bool
    non_controlling: bool
    filled: int
    sounded: int
    nominal: int


@dataclass(slots=True)
class Cursor:
    """The state of one part while it is read.

    position, furthest, sounded: ticks from the start of the bar; sounded is the furthest end of a note. chord_at, grace_at:
    onset of the last note and grace note that a `<chord/>` note joins, -1 where there is none in this bar. nominal: ticks of a
    full bar, 0 where unknown. staff_flags: flags of all notes on a staff of a special type. voiced: whether a direction has
    given a voice.
    """

    part: str
    grid: Grid
    notices: Notices
    faults: Faults
    alike: Alike
    ticks: Ticks = field(init=False)
    measure: int = 0
    number: str = ""
    position: int = 0
    furthest: int = 0
    sounded: int = 0
    chord_at: int = -1
    chord_voice: str = "1"
    grace_at: int = -1
    nominal: int = 0
    staves: int = 1
    staff_flags: dict[int, int] = field(default_factory=dict)
    voiced: bool = False
    measures: list[RawMeasure] = field(default_factory=list)
    notes: list[RawNote] = field(default_factory=list)
    rests: list[RawRest] = field(default_factory=list)
    directions: list[Later[Direction]] = field(default_factory=list)
    keys: list[Later[Key]] = field(default_factory=list)
    times: list[Later[Time]] = field(default_factory=list)
    clefs: list[Later[Clef]] = field(default_factory=list)
    transposes: list[Later[Transpose]] = field(default_factory=list)
    tunings: list[Later[Tuning]] = field(default_factory=list)
    styles: list[Later[MeasureStyle]] = field(default_factory=list)
    barlines: list[tuple[int, Callable[[int, int], Barline]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.divide(Decimal(1))

    def divide(self, divisions: Decimal) -> None:
        """Takes a new value of `<divisions>`: units of duration a quarter note."""
        self.ticks = self.grid.ticks(divisions)

    def notice(self, kind: str, text: str) -> None:
        """Notes something about the bar being read."""
        self.notices.add(kind, text, self.part, self.number)

    def advance(self, duration: int) -> None:
        """Moves on by a duration in ticks."""
        self.position += duration
        if self.position > self.furthest:
            self.furthest = self.position

    def back(self, duration: int) -> None:
        """Moves back by a duration in ticks, not past the start of the bar (MusicXML 4.0, element backup)."""
        self.position -= duration
        if self.position < 0:
            self.notice("backup", "a backup leads before the start of its bar; read as the start of the bar")
            self.position = 0
