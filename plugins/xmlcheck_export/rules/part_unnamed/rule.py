"""Headings that name a track although the instrument is known."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, Match, rule
from xmlcheck_export.names import generic, heading


@rule
def part_unnamed(chair: Chair, match: Match) -> Hits:
    """One hit a part with notes whose heading is empty or a track number, and whose instrument something else tells."""
    name = heading(chair.part)
    if match.profile is not None and match.certainty == "sure" and not chair.seat.ordinal and chair.notes and generic(name):
        yield Hit(values={"heading": name, "known_by": match.evidence or "the writer"})
