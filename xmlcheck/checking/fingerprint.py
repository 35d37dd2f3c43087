"""Fingerprints: the id of a finding survives inserted bars, renumbered bars and a re-export."""

from __future__ import annotations

import hashlib
from fractions import Fraction

from xmlcheck.facts.chair import Chair
from xmlcheck.model import Note

LENGTH = 12
"""Hexadecimal digits kept: 48 bits, so that 10,000 findings collide with a chance below one in a million."""


def identity(name: str, instrument: str | None, among_equals: int) -> str:
    """What stays the same of a part: its instrument, its folded name, and its order among equals."""
    return f"{instrument or '?'}|{' '.join(name.casefold().split())}|{among_equals}"


def of(rule: str, part: str, chair: Chair | None, notes: tuple[Note, ...], detail: str) -> str:
    """The fingerprint before ordinals: rule, part identity, pitches and lengths of the notes, an unequal neighbour each side."""
    pieces = [rule, part, detail]
    if chair is not None and notes:
        resolution = chair.facts.score.resolution
        pieces += [_said(note, resolution) for note in notes]
        pieces += _neighbours(chair, notes, resolution)
    return hashlib.sha256("\n".join(pieces).encode()).hexdigest()[:LENGTH]


def _said(note: Note, resolution: int) -> str:
    pitch = note.written.name if note.written is not None else "x"
    return f"{pitch}*{Fraction(note.duration, resolution)}"


def _neighbours(chair: Chair, notes: tuple[Note, ...], resolution: int) -> list[str]:
    all_notes = chair.notes
    first, last = notes[0], notes[-1]
    own = {_said(note, resolution) for note in notes}
    order = chair.index_of
    before, after = order.get(first.anchor, 0), order.get(last.anchor, len(all_notes))
    left = next(
        (s for i in range(before - 1, max(-1, before - 9), -1) if (s := _said(all_notes[i], resolution)) not in own), "|"
    )
    span = range(after + 1, min(len(all_notes), after + 9))
    right = next((s for i in span if (s := _said(all_notes[i], resolution)) not in own), "|")
    return [left, right]
