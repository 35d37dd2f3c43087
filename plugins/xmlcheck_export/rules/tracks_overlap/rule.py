"""Two tracks of one player that sound together."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from itertools import accumulate

from xmlcheck.plugin import Chair, Hit, Hits, Note, rule, within
from xmlcheck_export.derived import Crew
from xmlcheck_export.names import heading
from xmlcheck_export.tracks import sounding, together
from xmlcheck_export.values import HAIR, real, told


@rule
def tracks_overlap(chair: Chair, crew: Crew) -> Hits:
    """One hit for each stretch longer than a hair in which an earlier note of another track runs into this chair's notes.

    Tracks that are recorded in different passes may sound together.
    """
    player = crew.player
    if player is None:
        return
    resolution = chair.facts.score.resolution
    own = sounding(chair.part)
    ids = [track.part.id for track in player.tracks]
    for track in player.tracks:
        if track.part is chair.part or chair.apart_from(track.part):
            continue
        heads = [note for note in track.part.notes if real(note)]
        reached = list(accumulate((note.end for note in heads), max))
        for start, end in together(own, sounding(track.part)):
            note = _begins(chair, start)
            index = bisect_right(reached, start)  # the first that ends later
            other = heads[index] if index < len(heads) and heads[index].onset <= start else None
            if note is None or other is None or Fraction(end - start, resolution) <= HAIR:
                continue
            if other.onset == note.onset and ids.index(track.part.id) > ids.index(chair.part.id):
                continue  # both begin at once: told once, in the later track
            values = {
                "tracks": [heading(item.part) for item in player.tracks],
                "old": heading(track.part),
                "new": heading(chair.part),
                "quarters": told(Fraction(end - start, resolution)),
            }
            yield Hit(at=(note,), values=values)


def _begins(chair: Chair, tick: int) -> Note | None:
    return next((note for note in within(chair.notes, tick, tick + 1) if real(note)), None)
