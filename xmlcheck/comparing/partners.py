"""Which stop belongs to which start: slurs, hairpins, lines and pedals of one part."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from xmlcheck.comparing.tokens import SPANS, STARTS
from xmlcheck.model import Barline, Direction, Mark, Part

Partners = frozenset[tuple[str, int, int]]
"""Name of the sign, and the index in the part's notes (or in the view's directions) of its start and of its stop."""
NONE: Partners = frozenset()


def of_notes(part: Part) -> Partners:
    """Signs on notes. A number is free again after its stop, in document order (MusicXML 4.0, type number-level)."""
    order = sorted(range(len(part.notes)), key=lambda index: part.notes[index].anchor)
    return frozenset(_matched((index, mark) for index in order for mark in part.notes[index].marks))


def of_directions(directions: Iterable[Direction | Barline]) -> Partners:
    """Signs beside the notes."""
    found = ((index, one) for index, one in enumerate(directions) if isinstance(one, Direction))
    return frozenset(_matched((index, mark) for index, one in found for mark in one.marks))


def _matched(marks: Iterable[tuple[int, Mark]]) -> Iterator[tuple[str, int, int]]:
    opened: dict[tuple[str, str], int] = {}
    for index, mark in marks:
        if mark.name not in SPANS or not mark.type:
            continue
        key = (mark.name, mark.number or "1")
        if mark.type in STARTS:
            opened[key] = index
        elif mark.type == "stop" and key in opened:
            yield mark.name, opened.pop(key), index
