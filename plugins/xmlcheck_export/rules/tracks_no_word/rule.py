"""Changes from one technique's track to another that no word tells."""

from __future__ import annotations

from xmlcheck.plugin import Chair, Hit, Hits, rule, says
from xmlcheck_export.derived import Crew
from xmlcheck_export.names import heading
from xmlcheck_export.tracks import Change, needs_word
from xmlcheck_export.words import BEGINS, ENDS, PLAIN, near


@rule
def tracks_no_word(chair: Chair, crew: Crew) -> Hits:
    """One hit for each change into a technique that is told in words, and out of it, where the new track has no word there.

    A chair speaks for the changes that lead into it.
    """
    player = crew.player
    if player is None:
        return
    resolution = chair.facts.score.resolution
    changes = crew.changes
    for change in changes:
        technique, words = _needed(change)
        texts = near(change.new.part.directions, change.after.onset - resolution, change.after.onset)
        if words and not any(says(item.words, words) for item in texts):
            values = {"technique": technique, "old": heading(change.old.part), "new": heading(change.new.part)}
            yield Hit(at=(change.after,), values=values)


def _needed(change: Change) -> tuple[str, tuple[str, ...]]:
    """What must be told, and the words of which one tells it."""
    new, old = change.new.technique, change.old.technique
    if needs_word(change.new):
        return new, (*BEGINS.get(new, ()), new)
    if needs_word(change.old) and old in ENDS:
        return f"the end of {old}", (*ENDS[old], *PLAIN)
    return "", ()
