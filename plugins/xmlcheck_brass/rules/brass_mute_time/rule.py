"""Mutes that go in or come out with too little rest."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Wording, rule, spans
from xmlcheck_brass.facets import Mutes


@rule
def mute_time(chair: Chair, mutes: Mutes, tolerance: float = 0.9) -> Hits:
    """One hit for each mute asked for, or taken away, where the silence at the place is shorter than the profile's time.

    tolerance: share of that time that is let pass (ours). Before the first note and after the last there is all the time.
    """
    if not chair.tempo.given:
        return
    wordings = [Wording(mute.id, mute.words, mute.off, lasting=True) for mute in mutes.kinds]
    by_id = {mute.id: mute for mute in mutes.kinds}
    for span in spans(chair.directions, wordings):
        mute = by_id[span.id]
        changes = [(span.begins, mute.in_seconds, "goes in")]
        if span.ends is not None:
            changes.append((span.ends, mute.out_seconds, "comes out"))
        for direction, needed, way in changes:
            free = _free(chair, direction.onset)
            if needed is None or free is None or free >= tolerance * needed:
                continue
            grade = None if chair.for_one_player(direction.onset) else Grade.TIDY
            values = {"title": mute.title, "way": way, "free": free, "needed": needed}
            yield Hit(at=(direction,), values=values, rests_on=(mute,), grade=grade)


def _free(chair: Chair, tick: int) -> float | None:
    """Seconds of silence that end at or hold the place; None at the start and the end of the part."""
    gap = chair.gap(tick)
    return chair.seconds(*gap) if gap is not None else None
