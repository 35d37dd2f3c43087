"""Tracks that look like one player's techniques."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_export.derived import Crew
from xmlcheck_export.names import heading


@rule
def tracks_as_one(crew: Crew) -> Hits:
    """One hit a player whose tracks share a name and interlock, at the first of them. Silent once the writer has confirmed it."""
    player = crew.player
    if player is not None and crew.first and not player.confirmed:
        names = [heading(track.part) for track in player.tracks]
        yield Hit(values={"tracks": names, "count_tracks": len(names), "stem": player.stem})
