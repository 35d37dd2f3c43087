"""Drones, and chanters that cannot be silenced: bagpipes, and reed pipes with a sounding pipe beside them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from xmlcheck.plugin import BadPlugin, Certainty, Cited, Pitch

SWITCHES = ("never", "before", "in-piece")


@dataclass(frozen=True, slots=True)
class Drone:
    """One drone pipe, sounding pitch on the usual size. switch: when it is turned on and off: "never", "before" the piece
    (corks, plugs), or "in-piece" (a finger hole, a switch) in `seconds`."""

    pitch: Pitch
    switch: str = "before"
    seconds: float | None = None
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY
    note: str = ""

    def __post_init__(self) -> None:
        if self.switch not in SWITCHES:
            raise BadPlugin(f"[[drones.pipes]], switch: one of {', '.join(SWITCHES)}, found {self.switch!r}.")


@dataclass(frozen=True, slots=True)
class Drones:
    """Drones and the pipe that plays over them.

    pitches: all the notes of the chanter, sounding, where it has no others. rests: whether the chanter can be silent within a
    tune. dynamics: whether loudness can be changed. repeats: whether two equal notes can follow without a grace note between.
    """

    FACET: ClassVar[str] = "drones"
    OF_A_KIND: ClassVar[bool] = True
    pipes: tuple[Drone, ...] = ()
    pitches: Cited[tuple[Pitch, ...]] | None = None
    rests: Cited[bool] | None = None
    dynamics: Cited[bool] | None = None
    repeats: Cited[bool] | None = None
