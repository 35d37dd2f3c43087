"""Percussion staves whose lines cannot be told."""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.plugin import Hit, Hits, Note, Part, ScoreFacts, rule


@rule
def percussion_map(score: ScoreFacts) -> Hits:
    """One hit for each pitched note under a percussion clef, each note of a kit without instrument, each line used twice."""
    for part in score.score.parts:
        for note, fault, told in _faults(part):
            yield Hit(at=(note,), values={"fault": fault, "told": told}, part=part.id, group=fault)


def _faults(part: Part) -> Iterator[tuple[Note, str, str]]:
    drums = [clef for clef in part.clefs if clef.sign == "percussion"]
    if not drums:
        return
    lines: dict[tuple[str, int, int, str], str] = {}
    kit = len(part.instruments) > 1 and any(note.instruments for note in part.notes)
    for note in part.notes:
        clef = next((c for c in reversed(part.clefs) if c.staff == note.staff and c.onset <= note.onset), None)
        if clef is None or clef.sign != "percussion" or note.hidden:
            continue
        if note.written is not None:
            yield note, "pitches", "pitches stand under a percussion clef, where only lines are meant"
            continue
        if kit and not note.instruments:
            yield note, "no instrument", "the part has several instruments, and these notes do not say which"
            continue
        if note.display is not None and note.instruments:
            place = note.display.step, note.display.octave, note.staff, note.notehead
            known = lines.setdefault(place, note.instruments[0])
            if known != note.instruments[0]:
                yield note, "one line twice", "two instruments stand on one line with one notehead"
