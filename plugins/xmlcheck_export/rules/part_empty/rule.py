"""Parts in which nothing sounds."""

from __future__ import annotations

from xmlcheck.plugin import SMALL, Hit, Hits, ScoreFacts, rule
from xmlcheck_export.names import heading, not_played
from xmlcheck_export.values import at_bar


@rule
def part_empty(score: ScoreFacts) -> Hits:
    """One hit for each part without a sounding note, in a score in which others have some."""
    playing = {part.id for part in score.score.parts if any(not note.cue and not note.hidden for note in part.notes)}
    if not playing:
        return
    for part in score.score.parts:
        small = any(note.flags & SMALL for note in part.notes)
        if part.id in playing or small or not_played(heading(part)) or not part.measures:
            continue
        yield Hit(at=(at_bar(part.measures[0]),), values={"heading": heading(part), "bars": len(part.measures)}, part=part.id)
