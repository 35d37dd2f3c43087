"""Pedal changes in words, and which of them crowd one foot."""

from __future__ import annotations

from xmlcheck_zither.facets import Pedals
from xmlcheck_zither.harps import PedalPlan
from xmlcheck_zither.planning.pedals import LETTERS
from xmlcheck_zither.planning.settings import Change

HAIR = 1e-6
LONGEST = 20.0
"""Seconds that are looked back for a crowd of changes."""


def form(item: int, position: int) -> str:
    """A letter in one of its positions: `C#`, `Bb`, `F natural`."""
    return LETTERS[item] + (" natural" if not position else "#" * position or "b" * -position)


def crowd(plan: PedalPlan, change: Change, pedals: Pedals) -> tuple[Change, ...]:
    """The fewest changes of one foot, this one the last, that prove it too slow: together they need more time than lies between
    the first moment that one of them can move and the last moment that it has to. Empty where there is no such proof."""
    if pedals.one_foot is None:
        return ()
    foot = pedals.left.value if LETTERS[change.item] in pedals.left.value else pedals.right.value
    mine = [item for item in plan.written.moved if LETTERS[item.item] in foot and item.deadline <= change.deadline + HAIR]
    for start in sorted({item.release for item in mine}, reverse=True):
        inside = tuple(item for item in mine if item.release >= start - HAIR)
        if len(inside) / pedals.one_foot.value > change.deadline - start + HAIR and change in inside:
            return inside
        if change.deadline - start > LONGEST:
            break
    return ()


def better_spelling(plan: PedalPlan, change: Change) -> str:
    """How the chord is named in the reading with the fewest changes, where no pedal comes too late in it; else nothing."""
    if any(other.chord == change.chord for other, _ in plan.free.late_changes()):
        return ""
    chord = plan.chords[change.chord]
    names = plan.spelled(plan.free, change.chord)
    said = [names[use.tone.sounding.cents // 100 % 12] for use in chord.uses]
    own = [use.tone.sounding.step for use in chord.uses]
    return " ".join(said) if [name[0] for name in said] != own else ""
