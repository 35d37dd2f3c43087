"""Changes of technique between two tracks that leave one player too little time."""

from __future__ import annotations

from xmlcheck.plugin import Certainty, Chair, Cited, Hit, Hits, rule
from xmlcheck_export.derived import Crew
from xmlcheck_export.names import heading
from xmlcheck_export.tracks import Change

PLUCKED, STICK, MUTE = "pizzicato", "col legno", "con sordino"


@rule
def tracks_too_quick(
    chair: Chair, crew: Crew, seconds_to_bow: float = 0.5, seconds_to_pluck: float = 0.3, seconds_to_mute: float = 2.0
) -> Hits:
    """One hit for each change into this chair that leaves less than the seconds such a change takes (all from memory).

    Between passes there is nothing to change.
    """
    needs = {"taking the bow up": seconds_to_bow, "going over to plucking": seconds_to_pluck, "a mute": seconds_to_mute}
    for change in crew.changes:
        what = _change(change)
        if not what or chair.apart_from(change.old.part):
            continue
        seconds = max(0.0, chair.seconds(change.before.end, change.after.onset))
        if seconds >= needs[what]:
            continue
        values = {
            "seconds": round(seconds, 2), "needed": needs[what], "change": what,
            "old": heading(change.old.part), "new": heading(change.new.part),
        }  # fmt: skip
        yield Hit(at=(change.after,), values=values, rests_on=(Cited(needs[what], certainty=Certainty.MEMORY),))


def _change(change: Change) -> str:
    """What the player's hands do, or nothing that takes time."""
    old, new = change.old.technique, change.new.technique
    if MUTE in (old, new):
        return "a mute"
    if new == PLUCKED:
        return "going over to plucking"
    return "taking the bow up" if old == PLUCKED else ""
