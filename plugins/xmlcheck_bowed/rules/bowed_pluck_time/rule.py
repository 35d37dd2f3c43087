"""From bow to finger and back in the middle of a run."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, rule
from xmlcheck_bowed.facets import Bowing
from xmlcheck_bowed.words import PLUCKED, changes, technique
from xmlcheck_strings.runs import slack


@rule
def pluck_time(chair: Chair, techniques: Techniques, bowing: Bowing) -> Hits:
    """One hit for each change with less time between the onset before it and the onset after it than the hand takes to turn."""
    plucked = technique(techniques, PLUCKED)
    if plucked is None:
        return
    for change in changes(chair, plucked):
        needed = bowing.to_pluck_seconds if change.on else bowing.to_bow_seconds
        before, after = chair.before(change.at.onset), chair.following(change.at.onset)
        if change.reminder or needed is None or before is None or after is None:
            continue
        seconds = chair.seconds(before.onset, after.onset)
        if slack(chair) * seconds < needed.value:
            values = {"words": change.at.words, "seconds": round(seconds, 2), "needed": f"{needed.value:g}", "rate": ""}
            yield Hit(at=(change.at,), values=values, rests_on=(needed,))
