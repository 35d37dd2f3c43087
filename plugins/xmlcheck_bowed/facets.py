"""What the bowing arm can do in time. How the bow meets the strings is the table `[bow]` of xmlcheck_strings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import Cited


@dataclass(frozen=True, slots=True)
class Bowing:
    """Speeds and times of the bowing arm. Rates are strokes or changes a second: comfortable for long stretches, limit at most.

    strokes: separate strokes, on one note or on changing notes of one string. crossing: changes of string from stroke to stroke.
    tremolo: strokes of a tremolo that is written out or measured. mute_seconds: to put a mute on or take it off.
    to_pluck_seconds, to_bow_seconds: between bowing and plucking, and back. held_seconds: longest note in one stroke at middle
    loudness (advice only).
    """

    FACET: ClassVar[str] = "bowing"
    OF_A_KIND: ClassVar[bool] = True
    strokes_comfortable: Cited[float] | None = None
    strokes_limit: Cited[float] | None = None
    crossing_comfortable: Cited[float] | None = None
    crossing_limit: Cited[float] | None = None
    tremolo_limit: Cited[float] | None = None
    mute_seconds: Cited[float] | None = None
    to_pluck_seconds: Cited[float] | None = None
    to_bow_seconds: Cited[float] | None = None
    held_seconds: Cited[float] | None = None
