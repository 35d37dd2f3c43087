"""Strings outside the mechanism that are asked for in two pitches."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan


@rule
def fixed_string(chair: Chair, plan: PedalPlan, pedals: Pedals) -> Hits:
    """One hit for each string without a pedal that is written in two pitches, at the first note in the second pitch."""
    if pedals.fixed is None:
        return
    for string, tones in plan.fixed:
        asked = " and ".join(tone.sounding.name for tone in tones)
        yield Hit(at=(tones[1],), values={"string": string, "asked": asked}, rests_on=(pedals.fixed,), group=string)
