"""Ottava lines that would move their notes away from where such lines are of use."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median

from xmlcheck.plugin import Clef, Direction, Hit, Hits, Note, Part, ScoreFacts, latest, rule, within
from xmlcheck_export.values import real

STEPS = "CDEFGAB"
_MIDDLE = {"G": 4 * 7 + 4, "F": 3 * 7 + 3, "C": 4 * 7}
"""Letter steps above C0 of the note that each clef names: G4, F3, C4; it stands on the clef's line."""


@rule
def ottava_doubled(score: ScoreFacts, fewest: int = 3) -> Hits:
    """One hit for each line under which the shown notes lie on the far side of the middle line, by their median."""
    for part in score.score.parts:
        clefs: dict[int, list[Clef]] = {}
        for clef in part.clefs:
            clefs.setdefault(clef.staff, []).append(clef)
        for notes, steps in _lines(part):
            if len(notes) < fewest:
                continue
            middle = _middle(clefs.get(notes[0].staff, []), notes[0])
            shown = [
                7 * note.written.octave + STEPS.index(note.written.step) + steps for note in notes if note.written is not None
            ]
            if middle is None or not shown:
                continue
            off = median(shown) - middle
            if (steps < 0 and off < -2) or (steps > 0 and off > 2):
                name = {7: "8", 14: "15", 21: "22"}.get(abs(steps), "8") + ("va" if steps < 0 else "vb")
                values = {"line": name, "where": "below" if off < 0 else "above"}
                yield Hit(at=tuple(notes), values=values, part=part.id)


def _lines(part: Part) -> Iterator[tuple[list[Note], int]]:
    """Each closed line: the notes under it on its staff, and the letter steps by which it moves their look."""
    open_: dict[str, tuple[Direction, int]] = {}
    for direction in part.directions:
        for mark in direction.named("octave-shift"):
            if mark.type in ("up", "down"):
                size = int(mark.get("size")) if mark.get("size") in ("8", "15", "22") else 8
                open_[mark.number] = direction, (size - 1) * (1 if mark.type == "up" else -1)
            elif mark.type == "stop" and mark.number in open_:
                start, steps = open_.pop(mark.number)
                staff = start.staff or 1
                notes = [
                    note for note in within(part.notes, start.onset, direction.onset)
                    if note.staff == staff and real(note) and note.written is not None
                ]  # fmt: skip
                yield notes, steps


def _middle(clefs: Sequence[Clef], note: Note) -> int | None:
    """Letter steps above C0 of the middle line. clefs: those of the note's staff."""
    clef = latest(clefs, note.onset)
    if clef is None or clef.sign not in _MIDDLE:
        return None
    return _MIDDLE[clef.sign] + 2 * (3 - clef.line) + 7 * clef.octave
