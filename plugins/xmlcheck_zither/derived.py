"""What the rules on zithers, harps and hammered strings share, computed once a chair."""

from __future__ import annotations

from collections.abc import Callable

from xmlcheck.plugin import Chair, Compass, Tone, derived
from xmlcheck_basics.derived import ReadAs
from xmlcheck_zither.facets import Levers, Pedals, Picks, Pressing, Retuning, StringSet
from xmlcheck_zither.harps import LeverPlan, PedalPlan, lever_plan, pedal_plan
from xmlcheck_zither.naming import Names
from xmlcheck_zither.stated import Statements, statements
from xmlcheck_zither.uses import Played, played
from xmlcheck_zither.zithers import TuningPlan, tuning_plan

RIGHT_HAND = 4
"""Notes that one hand plucks at most where the profile does not say."""


@derived
def uses(chair: Chair, read: ReadAs | None) -> Played:
    """The notes as they are played, at the pitch at which the chair is read."""
    height: Callable[[Tone], int] = read.height if read is not None else _sounding
    return played(chair, height)


def _sounding(tone: Tone) -> int:
    return tone.sounding.cents


@derived
def said(chair: Chair, uses: Played, strings: StringSet) -> Statements:
    """What the part says about its tuning."""
    return statements(chair, strings, uses.uses[0].tone.onset if uses.uses else 0)


@derived
def tunings(
    chair: Chair,
    uses: Played,
    said: Statements,
    strings: StringSet,
    retuning: Retuning | None,
    pressing: Pressing | None,
    picks: Picks | None,
    levers: Levers | None,
    pedals: Pedals | None,
    compass: Compass | None,
) -> TuningPlan:
    """The tuning plan; empty for strings that levers or pedals set while the music goes on, and for a part in another octave."""
    inside = within(uses, compass)
    if levers is not None or pedals is not None or 2 * len(inside.uses) < len(uses.uses):
        return TuningPlan(Names(strings))
    right = picks.right.value if picks is not None else RIGHT_HAND
    return tuning_plan(chair, inside, strings, retuning, pressing, right, said)


def within(uses: Played, compass: Compass | None) -> Played:
    """The notes within the compass: no string is tuned for the others, which are reported as what they are.

    Where they are most of the part, it is read in the octave or transposition of another instrument.
    """
    if compass is None:
        return uses
    low, high = compass.lowest.value.cents, compass.highest.value.cents
    return Played(tuple(use for use in uses.uses if low <= use.cents <= high))


@derived
def pedalled(uses: Played, pedals: Pedals) -> PedalPlan:
    """The pedal settings of a harp part."""
    return pedal_plan(uses, pedals)


@derived
def levered(uses: Played, said: Statements, strings: StringSet, levers: Levers, picks: Picks | None) -> LeverPlan:
    """The lever settings of a lever harp or mandal zither."""
    first = said.before(uses.uses[0].tone.onset) if uses.uses else None
    return lever_plan(uses, strings, levers, picks, first.named if first is not None else None)
