"""Instruments whose pitch standard is not the session's and cannot be brought to it."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_ensemble.facets import PitchStandard
from xmlcheck_ensemble.standard import ASSUMED, apart, named


@rule
def pitch_standard(
    chair: Chair, standard: PitchStandard, session_hz: float = 0.0, tolerance_cents: int = 5, unsaid_cents: int = 20
) -> Hits:
    """One hit for a part whose instrument lies further off than it can be tuned. session_hz: 0 where the score is to be asked.

    Where nobody has named a pitch, 440 is assumed, and only what lies more than `unsaid_cents` off is told.
    """
    said = session_hz or chair.facts.once(named)
    session = said or ASSUMED
    cents = apart(standard.hz.value, session)
    reach = standard.raised_cents if cents < 0 else standard.lowered_cents
    left = abs(cents) - (reach.value if reach is not None else 0.0)
    if not chair.notes or left <= (tolerance_cents if said else unsaid_cents):
        return
    values = {
        "hz": f"{standard.hz.value:g}",
        "session": f"{session:g}",
        "cents": round(abs(cents)),
        "direction": "below" if cents < 0 else "above",
        "told": "assumed, nothing is said" if not said else "",
        "adjust": f"it can be brought {reach.value:g} cents nearer" if reach is not None and reach.value else "",
    }
    yield Hit(values=values, rests_on=tuple(item for item in (standard.hz, reach) if item is not None))
