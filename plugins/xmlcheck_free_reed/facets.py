"""Mouth organs and other free reeds with a fixed set of pitches: what exists, and what sounds together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import Certainty, Cited, Pitch


@dataclass(frozen=True, slots=True)
class Clash:
    """Pitches that one finger or hand position keeps apart: no two of them sound together."""

    pitches: tuple[Pitch, ...]
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Cluster:
    """A chord that the tradition names."""

    id: str
    title: str
    pitches: tuple[Pitch, ...]
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""


@dataclass(frozen=True, slots=True)
class Reeds:
    """The reeds of a mouth organ.

    pitches: all that sounds; any other pitch does not exist. optional: pitches of pipes that some instruments have fitted. How
    many sound together is the universal table [polyphony]. clashes: pitches that exclude one another. clusters: named chords.
    change_limit: changes of chord a second. bend_up, bend_down: semitones.
    """

    FACET: ClassVar[str] = "reeds"
    pitches: Cited[tuple[Pitch, ...]]
    optional: Cited[tuple[Pitch, ...]] | None = None
    clashes: tuple[Clash, ...] = ()
    clusters: tuple[Cluster, ...] = ()
    change_limit: Cited[float] | None = None
    bend_up: Cited[float] | None = None
    bend_down: Cited[float] | None = None
