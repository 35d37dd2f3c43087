"""Tracks for the control room: known, and not checked."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_export.names import heading, not_played


@rule
def part_not_played(chair: Chair, parts: str = "", played: str = "") -> Hits:
    """One hit a chair, over all its notes. `parts`: names or ids of further such tracks, `played`: of tracks that are played
    whatever their names say; with commas between.
    """
    name = heading(chair.part)
    own = {name.casefold(), chair.part.id.casefold()}
    given = not own.isdisjoint(item.strip().casefold() for item in parts.split(","))
    excepted = not own.isdisjoint(item.strip().casefold() for item in played.split(","))
    if chair.notes and name and not excepted and (given or not_played(name)):
        yield Hit(at=chair.notes, values={"heading": name, "why_told": "xmlcheck.toml" if given else "by its name"})
