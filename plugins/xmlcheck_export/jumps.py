"""Bars at which the music jumps: what begins there may end elsewhere, and the other way round."""

from __future__ import annotations

from xmlcheck.plugin import Part

_JUMPS = ("dacapo", "dalsegno", "tocoda", "fine")
_PLACES = ("segno", "coda")


class Jumps:
    """leaves: bars after which a repeat or jump may go elsewhere. arrives: bars at which one may come from elsewhere."""

    def __init__(self, part: Part) -> None:
        self._leaving: set[int] = set()
        self._arriving: set[int] = set()
        for line in part.barlines:
            bar = line.measure if line.location != "left" else line.measure - 1
            if line.repeat == "backward" or line.ending[1] in ("stop", "discontinue"):
                self._leaving.add(bar)
                self._arriving |= {0, bar + 1}
            if line.repeat == "forward" or line.ending[1] == "start" or set(line.marks) & {"segno", "coda"}:
                self._arriving.add(bar + 1)
                self._leaving.add(bar)
        for direction in part.directions:
            attributes = dict(direction.sound.attributes) if direction.sound is not None else {}
            signs = {mark.name for mark in direction.marks}
            if any(name in attributes for name in _JUMPS):
                self._leaving.add(direction.measure)
            if any(name in attributes or name in signs for name in _PLACES):
                self._arriving |= {direction.measure, direction.measure + 1}
                self._leaving |= {direction.measure, direction.measure - 1}

    def leaves(self, measure: int) -> bool:
        """Whether the music may go elsewhere after this bar."""
        return measure in self._leaving

    def arrives(self, measure: int) -> bool:
        """Whether the music may come from elsewhere to this bar."""
        return measure in self._arriving
