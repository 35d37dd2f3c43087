"""Changes of instrument inside one part that leave too little time."""

from xmlcheck.plugin import Before, Chair, Cited, Hit, Hits, Match, Profile, ScoreFacts, rule
from xmlcheck_ensemble.facets import Handling


@rule
def change_time(
    chair: Chair,
    match: Match,
    profile: Profile | None,
    before: Before,
    handling: Handling | None,
    least_seconds: float = 4.0,
) -> Hits:
    """One hit for a change with less than the instruments' time, or `least_seconds` where none is known, since the last note.

    In a pass of its own, or with the first notes of a part, there is nothing to change from; nor where only the key is renamed.
    """
    start = chair.seat.start
    same = profile is not None and before.profile is not None and profile.id == before.profile.id
    if start <= 0 or not chair.notes or same:
        return
    earlier = [other for other in chair.facts.once(_by_end).get((id(chair.part), start), ()) if other.notes]
    if not earlier or any(chair.apart(other) for other in earlier):
        return
    ended, begins = max(note.end for other in earlier for note in other.notes), chair.notes[0].onset
    seconds = chair.seconds(min(ended, begins), begins)
    wanted = _wanted(profile, before.profile, handling)
    needed = wanted.value if wanted is not None else least_seconds
    if seconds >= needed:
        return
    values = {
        "name": profile.name if profile is not None else match.known or chair.seat.announced or "another instrument",
        "seconds": round(seconds, 1),
        "needed": f"{needed:g}",
        "told": "" if wanted is not None else "our own figure, no source",
    }
    yield Hit(at=(chair.notes[0],), values=values, rests_on=(wanted,) if wanted is not None else ())


def _by_end(score: ScoreFacts) -> dict[tuple[int, int], list[Chair]]:
    """The chairs by their part and the tick at which they end."""
    found: dict[tuple[int, int], list[Chair]] = {}
    for chair in score.chairs:
        found.setdefault((id(chair.part), chair.seat.end), []).append(chair)
    return found


def _wanted(new: Profile | None, old: Profile | None, handling: Handling | None) -> Cited[float] | None:
    """The time from one instrument to the other: less within a family that says so, more where the old one is slow to lay down."""
    if handling is None:
        return None
    laid = old.get(Handling) if old is not None else None
    if laid is None or new is None or old is None:
        return handling.take_seconds
    if handling.kin_seconds is not None and laid.kin_seconds is not None and new.family == old.family:
        return handling.kin_seconds
    slower = laid.lay_seconds
    return slower if slower is not None and slower.value > handling.take_seconds.value else handling.take_seconds
