"""Staves of a part on which nothing ever stands."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule
from xmlcheck_export.names import heading
from xmlcheck_export.values import at_bar


@rule
def staff_unused(score: ScoreFacts, fewest_bars: int = 4) -> Hits:
    """One hit for each staff without a note in a part of several staves that has notes on another one."""
    for part in score.score.parts:
        used = {note.staff for note in part.notes}
        if part.staves < 2 or not used or len(part.measures) < fewest_bars:
            continue
        for staff in range(1, part.staves + 1):
            if staff not in used:
                values = {"staff": staff, "heading": heading(part), "bars": len(part.measures)}
                yield Hit(at=(at_bar(part.measures[0]),), values=values, part=part.id)
