"""Notes that no string gives in the tuning that the part itself states."""

from xmlcheck.plugin import Chair, Hit, Hits, Vouched, rule
from xmlcheck_zither.facets import Pressing, StringSet
from xmlcheck_zither.granted import shown
from xmlcheck_zither.stated import Statements
from xmlcheck_zither.uses import Played
from xmlcheck_zither.zithers import TuningPlan


@rule
def contradicted(
    chair: Chair, uses: Played, plan: TuningPlan, strings: StringSet, said: Statements, pressing: Pressing | None
) -> Hits:
    """One hit for each tone that the tuning in force, as written, does not have: neither open, pressed nor pulled.

    Tones outside the compass are compass findings.
    """
    if not plan.spans:
        return
    for use in uses.uses:
        item = said.before(use.tone.onset)
        if use.turn > 1 or item is None or item.tuned is None or use.number not in plan.takes:
            continue
        ordered = sorted(item.tuned.values())
        if plan.reach.least(use.cents, ordered) is not None:
            continue
        nearest = min(ordered, key=lambda cents: abs(cents - use.cents))
        limit = max(plan.reach.up, plan.reach.limit) / 100
        values = {
            "pitch": use.tone.sounding,
            "tuning": item.named.title if item.named is not None else shown(item.text) or "its own list",
            "pressed": f"{limit:g}" if limit else "",
            "nearest": plan.names.pitch(nearest),
        }
        rests: list[Vouched] = [item.named or strings.usual]
        rests += [value for value in (pressing.up, pressing.limit) if value is not None] if pressing is not None else []
        yield Hit(at=(use.tone,), values=values, rests_on=tuple(rests))
