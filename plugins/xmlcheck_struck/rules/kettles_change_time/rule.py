"""Kettledrums that have to change their pitch sooner than it can be heard."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_struck.facets import Kettles
from xmlcheck_struck.tuning import Tuning


@rule
def change_time(chair: Chair, kettles: Kettles, tuning: Tuning) -> Hits:
    """One hit for each change of the best plan that leaves less than the comfortable time since the drum's last stroke."""
    needed = kettles.change_seconds
    if needed is None or chair.players not in (None, 1):
        return
    for change in tuning.changes:
        if change.seconds < needed.value:
            values = {
                "change": f"{change.before.name}-{change.after.name}",
                "from_pitch": change.before,
                "to_pitch": change.after,
                "drum": f"the {change.drum.title} drum",
                "drums": len(kettles.usual),
                "seconds": round(change.seconds, 1),
                "needed": f"{needed.value:g}",
            }
            yield Hit(at=(change.tone,), values=values, rests_on=(needed, change.drum))
