"""Ids of instruments that nothing has."""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.plugin import Direction, Hit, Hits, Note, Part, ScoreFacts, rule


@rule
def file_ids(score: ScoreFacts) -> Hits:
    """One hit for each note and change of instrument that names no instrument of its part."""
    everywhere = {item.id for part in score.score.parts for item in part.instruments}
    for part in score.score.parts:
        own = {item.id for item in part.instruments}
        for event, id in _named(part):
            if id not in own:
                what = "an instrument of another part" if id in everywhere else "which no instrument of the file has as its id"
                yield Hit(at=(event,), values={"id": id, "what": what}, part=part.id, group=id)


def _named(part: Part) -> Iterator[tuple[Note | Direction, str]]:
    for note in part.notes:
        for id in note.instruments:
            yield note, id
    for direction in part.directions:
        for change in direction.sound.changes if direction.sound is not None else ():
            if change.id:
                yield direction, change.id
