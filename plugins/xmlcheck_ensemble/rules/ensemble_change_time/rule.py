"""Changes of instrument inside one part that leave too little time."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, Profile, rule
from xmlcheck_ensemble.facets import Handling, Session


@rule
def change_time(
    chair: Chair,
    match: Match,
    profile: Profile | None,
    handling: Handling | None,
    session: Session | None,
    least_seconds: float = 4.0,
) -> Hits:
    """One hit for a change with less than the instrument's time, or `least_seconds` where none is known, since the last note.

    In passes of its own, or with the first notes of a part, there is nothing to change from.
    """
    start = chair.seat.start
    if start <= 0 or not chair.notes or (session is not None and session.apart):
        return
    before = [other for other in chair.facts.chairs if other.part is chair.part and other.seat.end == start and other.notes]
    if not before:
        return
    ended, begins = max(note.end for other in before for note in other.notes), chair.notes[0].onset
    seconds = chair.seconds(min(ended, begins), begins)
    needed = handling.take_seconds.value if handling is not None else least_seconds
    if seconds >= needed:
        return
    name = profile.name if profile is not None else match.known or chair.seat.announced or "another instrument"
    values = {
        "name": name,
        "seconds": round(seconds, 1),
        "needed": f"{needed:g}",
        "told": "" if handling is not None else "our own figure, no source",
    }
    yield Hit(at=(chair.notes[0],), values=values, rests_on=(handling.take_seconds,) if handling is not None else ())
