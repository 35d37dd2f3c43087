"""Lines that have a beginning and an end: which ends have no partner.

Counted by line number in score order, whatever the voice: number tells lines apart that are open at once (MusicXML 4.0, data
type number-level). Document order is not trusted; at one place a stop may stand before its own start.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from operator import itemgetter
from typing import NamedTuple

from xmlcheck.plugin import Direction, Note, Part

ON_NOTES = ("slur", "glissando", "slide", "wavy-line", "tremolo", "tuplet")
IN_DIRECTIONS = ("wedge", "octave-shift")
TUPLETS = frozenset(("tuplet",))
LINES = frozenset((*ON_NOTES, *IN_DIRECTIONS)) - TUPLETS
CALLED = {
    "slur": "slur", "glissando": "glissando", "slide": "slide", "wavy-line": "trill line", "tremolo": "two-note tremolo",
    "tuplet": "tuplet bracket", "wedge": "hairpin", "octave-shift": "ottava line",
}  # fmt: skip
"""What a player calls each line."""
_STARTS = frozenset(("start", "crescendo", "diminuendo", "up", "down"))


class End(NamedTuple):
    """One end of a line: its kind, whether it begins there, and the note or direction that carries it."""

    kind: str
    starts: bool
    at: Note | Direction
    number: str = ""
    type: str = ""


def ends(part: Part, kinds: frozenset[str]) -> Iterator[End]:
    """All ends of lines of these kinds in a part, in order of place."""
    found: list[tuple[int, int, End]] = []
    for note in part.notes:
        for mark in note.marks:
            if mark.name in kinds and mark.type in ("start", "stop"):
                found.append(
                    (note.onset, note.anchor, End(mark.name, mark.type == "start", note, mark.number or "1", mark.type))
                )
    for direction in part.directions:
        for mark in direction.marks:
            if mark.name in IN_DIRECTIONS and mark.name in kinds and (mark.type in _STARTS or mark.type == "stop"):
                end = End(mark.name, mark.type != "stop", direction, mark.number or "1", mark.type)
                found.append((direction.onset, direction.anchor, end))
    found.sort(key=itemgetter(0, 1))
    return (end for _, _, end in found)


def unmatched(found: Iterable[End]) -> list[End]:
    """The ends without a partner, in order of place."""
    open_: dict[tuple[str, str], list[End]] = defaultdict(list)
    lone: list[End] = []
    waiting: list[End] = []  # stops that found nothing open, while their own start may stand at the same place
    for end in found:
        if waiting:
            lone += [stop for stop in waiting if stop.at.onset != end.at.onset]
            waiting = [stop for stop in waiting if stop.at.onset == end.at.onset]
        key = end.kind, end.number
        if end.starts:
            partner = next((stop for stop in waiting if (stop.kind, stop.number) == key), None)
            if partner is not None:
                waiting.remove(partner)
            else:
                open_[key].append(end)
        elif open_[key]:
            open_[key].pop(_partner(open_[key], end))
        else:
            waiting.append(end)
    left = [end for ends_ in open_.values() for end in ends_]
    return sorted([*lone, *waiting, *left], key=lambda end: (end.at.onset, end.at.anchor))


def _partner(open_: list[End], stop: End) -> int:
    """Which of several open lines of one number ends: the last begun, of the same voice if there is one.

    A number is free again only when its line has ended, so an earlier line of the same number has lost its end.
    """
    voice = getattr(stop.at, "voice", "")
    same = (index for index in reversed(range(len(open_))) if getattr(open_[index].at, "voice", "") == voice)
    return next(same, len(open_) - 1)
