"""Mutes put on or taken off between notes that leave no time for it."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Techniques, rule
from xmlcheck_bowed.facets import Bowing
from xmlcheck_bowed.words import MUTES, changes, silence, technique
from xmlcheck_strings.runs import slack


@rule
def mute_time(chair: Chair, techniques: Techniques, bowing: Bowing) -> Hits:
    """One hit for each change with less silence than it takes. At the head of the part, and as a reminder, it takes none.

    A section changes desk by desk, so that the sound goes on.
    """
    mute, needed = technique(techniques, MUTES), bowing.mute_seconds
    if mute is None or needed is None:
        return
    for change in changes(chair, mute):
        seconds = None if change.reminder else silence(chair, change.at.onset)
        if seconds is not None and slack(chair) * seconds < needed.value:
            values = {"words": change.at.words, "seconds": round(seconds, 1), "needed": f"{needed.value:g}"}
            grade = None if chair.for_one_player(change.at.onset) else Grade.TIDY
            yield Hit(at=(change.at,), values=values, rests_on=(needed,), grade=grade)
