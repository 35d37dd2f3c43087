"""Pitches that no string can be given."""

from xmlcheck.plugin import Chair, Compass, Hit, Hits, rule
from xmlcheck_zither.facets import Levers, Pressing, Retuning, StringSet
from xmlcheck_zither.granted import Granted, grounds
from xmlcheck_zither.harps import LeverPlan
from xmlcheck_zither.uses import Played
from xmlcheck_zither.zithers import TuningPlan


@rule
def unreachable(
    chair: Chair,
    uses: Played,
    plan: TuningPlan,
    strings: StringSet,
    compass: Compass | None,
    retuning: Retuning | None,
    pressing: Pressing | None,
    levers: Levers | None,
    levered: LeverPlan | None,
) -> Hits:
    """One hit for each tone within the compass that no string gives, whatever the tuning. Tones outside it are compass findings."""
    low = compass.lowest.value.cents if compass is not None else 0
    high = compass.highest.value.cents if compass is not None else 20000
    if levered is not None and levers is not None:
        rows = [pitch for row in levered.board.rows for pitch in row.pitches]
        for use in levered.unreachable:
            if min(rows) <= use.cents <= max(rows) and use.cents not in levered.anywhere:
                rests = (levered.tuning, *((levers.rise,) if levers.rise is not None else levers.steps))
                yield Hit(at=(use.tone,), values={"pitch": use.tone.sounding, "pressed": ""}, rests_on=rests)
        return
    if not plan.spans:
        return
    granted = Granted(strings, retuning, pressing)
    missing = {item.cents for item in strings.missing.value} if strings.missing is not None else set()
    for use in uses.uses:
        if use.turn > 1 or not low <= use.cents <= high or granted.gives(use.cents):
            continue
        known = strings.missing is not None and use.cents in missing
        rests = (strings.missing,) if known and strings.missing is not None else grounds(strings, retuning, pressing)
        values = {"pitch": use.tone.sounding, "pressed": f"{granted.pressed:g}" if granted.pressed else ""}
        yield Hit(at=(use.tone,), values=values, rests_on=rests)
