"""Notes of one voice that overlap without being a chord."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, Note, rule
from xmlcheck_export.values import real


@rule
def voice_overlap(chair: Chair) -> Hits:
    """One hit for each note that begins before the last one of its voice, staff and bar has ended, or with it and not as a chord.

    What runs over the barline is an over-full bar.
    """
    latest: dict[tuple[str, int], Note] = {}
    for note in chair.notes:
        if not real(note) or not note.duration:
            continue
        key = note.voice, note.staff
        before = latest.get(key)
        chord = before is not None and note.chord and note.onset == before.onset
        if before is not None and not chord and note.onset < before.end and note.measure == before.measure:
            yield Hit(at=(note, before), values={"voice": note.voice})
        if not chord or before is None:
            latest[key] = note
