"""Brass: the partials of the open tube, how valves or a slide lengthen it, and mutes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

KINDS = ("valves", "slide", "natural")
MARKS = ("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff")


@dataclass(frozen=True, slots=True)
class Side:
    """One tube of the instrument: `fundamental` is its first partial, sounding, nothing added (the pedal note).

    longest: semitones by which all valves together, or the slide, lower it. lowest_partial: the first one in use (2 where pedal
    notes are an effect, 1 where they are played). highest_partial: the last one in use. optional: not every player's instrument
    has this tube (an attachment), so what needs it is to be asked for.
    """

    id: str
    title: str
    fundamental: Pitch
    longest: int
    lowest_partial: int = 2
    highest_partial: int = 16
    optional: bool = False
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Brass:
    """The tubes of a brass instrument (a double horn has two, a trombone with attachment too).

    kind: "valves", "slide" or "natural" (partials only). slide_limit: semitones of slide a second, in a line of separate notes.
    """

    FACET: ClassVar[str] = "brass"
    kind: Cited[str]
    sides: tuple[Side, ...]
    slide_limit: Cited[float] | None = None
    lip_trill_from: Cited[Pitch] | None = None

    def __post_init__(self) -> None:
        if self.kind.value not in KINDS:
            raise BadPlugin(f"[brass], kind: one of {', '.join(KINDS)}, found {self.kind.value!r}.")


@dataclass(frozen=True, slots=True)
class Mute:
    """One mute, or the hand in the bell. words: what asks for it; off: what takes it away (in_seconds, out_seconds).

    loudest: the loudest dynamic it carries. lowest: the lowest note that speaks with it.
    """

    id: str
    title: str
    words: tuple[str, ...]
    off: tuple[str, ...] = ()
    in_seconds: float | None = None
    out_seconds: float | None = None
    loudest: str | None = None
    lowest: Pitch | None = None
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        if self.loudest is not None and self.loudest not in MARKS:
            raise BadPlugin(f"[[mutes.kinds]], loudest: one of {', '.join(MARKS)}, found {self.loudest!r}.")


@dataclass(frozen=True, slots=True)
class Mutes:
    """The mutes that players carry."""

    FACET: ClassVar[str] = "mutes"
    kinds: tuple[Mute, ...]
