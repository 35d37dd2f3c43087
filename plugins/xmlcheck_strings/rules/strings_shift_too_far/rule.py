"""Leaps along the string for which the notes leave no time."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_strings.facets import Fingerboard, Hand
from xmlcheck_strings.fingering import Fingering
from xmlcheck_strings.runs import slack


@rule
def shift_too_far(chair: Chair, fingering: Fingering, hand: Hand, fingerboard: Fingerboard, margin: float = 1.0) -> Hits:
    """One hit for each shift that needs more than `margin` times the seconds from onset to onset, on the path of the hand that has
    fewest of them."""
    used = tuple(item for item in (fingerboard.scale_mm, hand.reach_mm or hand.reach_semitones) if item is not None)
    for shift in fingering.late:
        if shift.needed <= margin * shift.seconds * slack(chair):
            continue
        values = {
            "before": shift.before.sounding,
            "after": shift.after.sounding,
            "mm": round(shift.mm),
            "seconds": round(shift.seconds, 2),
            "needed": round(shift.needed, 2),
        }
        yield Hit(at=(shift.after,), values=values, rests_on=used)
