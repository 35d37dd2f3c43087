"""Chord notes longer than the note that leads the chord."""

from __future__ import annotations

from fractions import Fraction

from xmlcheck.plugin import Hit, Hits, Note, ScoreFacts, rule
from xmlcheck_export.values import told


@rule
def chord_unequal(score: ScoreFacts) -> Hits:
    """One hit for each chord note that lasts longer than the first note of its chord."""
    resolution = score.score.resolution
    for part in score.score.parts:
        lead: Note | None = None
        for note in sorted(part.notes, key=lambda item: item.anchor):
            if not note.chord:
                lead = note
            elif lead is not None and note.onset == lead.onset and note.duration > lead.duration:
                lengths = (told(Fraction(item.duration, resolution)) for item in (lead, note))
                values = dict(zip(("lead", "own"), lengths, strict=True))
                yield Hit(at=(note,), values=values, part=part.id)
