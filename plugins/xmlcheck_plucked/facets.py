"""What the plucking hand can do, and how long a plucked string sounds. Bowed instruments may have the table for pizzicato."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Cited

TOOLS = ("plectrum", "fingers", "nails", "thumb")


@dataclass(frozen=True, slots=True)
class Plucking:
    """How strings are plucked, how fast, and how long they ring. Rates are strokes a second: comfortable for long, limit at most.

    tool: "plectrum", "fingers" (flesh or own nails), "nails" (worn on the fingers) or "thumb". at_once: notes plucked exactly
    together, each by a finger of its own; 1 for a plectrum. swept: strings of a strummed or rolled chord. repeated: strokes on
    one note, one by one. tremolo: the tremolo that sustains a note, where written out. crossing: changes of string from stroke to
    stroke. decay_seconds: how long a plucked note stays audible in the middle of the compass. sustains: ids of the profile's
    techniques that make a long note last.
    """

    FACET: ClassVar[str] = "plucking"
    OF_A_KIND: ClassVar[bool] = True
    tool: Cited[str]
    at_once: Cited[int] | None = None
    swept: Cited[int] | None = None
    repeated_comfortable: Cited[float] | None = None
    repeated_limit: Cited[float] | None = None
    tremolo_limit: Cited[float] | None = None
    crossing_comfortable: Cited[float] | None = None
    crossing_limit: Cited[float] | None = None
    decay_seconds: Cited[float] | None = None
    sustains: Cited[tuple[str, ...]] | None = None

    def __post_init__(self) -> None:
        if self.tool.value not in TOOLS:
            raise BadPlugin(f"[plucking], tool: one of {', '.join(TOOLS)}, found {self.tool.value!r}.")
