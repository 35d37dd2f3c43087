"""Bars whose notes go beyond the meter."""

from __future__ import annotations

from fractions import Fraction

from xmlcheck.plugin import Grade, Hit, Hits, Note, Part, Placed, ScoreFacts, rule
from xmlcheck_export.names import heading
from xmlcheck_export.values import HAIR, at_bar, common, ends, nominal, real, told


@rule
def bar_overfull(score: ScoreFacts) -> Hits:
    """One hit for each bar in which notes end later than the meter has it, by more than a hair.

    A halt only where another part with notes keeps to the meter: then the parts fall apart. Alone it may be a cadenza, or a
    meter that nobody wrote.
    """
    resolution = score.score.resolution
    parts = [part for part in score.score.parts if part.notes]
    reach = {part.id: _reach(part) for part in parts}
    meters = {part.id: nominal(part, resolution) for part in parts}
    shared = common([meters[part.id] for part in score.together if part.id in meters])
    hair = HAIR * resolution
    for part in parts:
        full = meters[part.id]
        for bar, end in sorted(reach[part.id].items()):
            if bar not in full or end <= full[bar] or end - full[bar] <= hair or full[bar] < shared.get(bar, 0):
                continue  # in a shorter meter than the others: the meter is what is told
            keep = [heading(other) for other in parts if other is not part and 0 < reach[other.id].get(bar, 0) <= full[bar]]
            values = {
                "filled": told(Fraction(end, resolution)), "meter": told(Fraction(full[bar], resolution)),
                "extra": told(Fraction(end - full[bar], resolution)), "others": keep[:3],
            }  # fmt: skip
            at: tuple[Placed, ...] = (at_bar(part.measures[bar]), *_spilled(score, part, bar, full[bar]))
            yield Hit(at=at, values=values, part=part.id, grade=None if keep else Grade.QUERY)


def _spilled(score: ScoreFacts, part: Part, bar: int, full: int) -> list[Note]:
    """The notes that run beyond the meter, and those of the next bar that they run into."""
    limit, notes = part.measures[bar].onset + full, score.once(_by_bar, part)
    over = [note for note in notes.get(bar, ()) if real(note) and note.end > limit]
    reach = max((note.end for note in over), default=0)
    return over + [note for note in notes.get(bar + 1, ()) if note.onset < reach]


def _by_bar(_: ScoreFacts, part: Part) -> dict[int, list[Note]]:
    found: dict[int, list[Note]] = {}
    for note in part.notes:
        found.setdefault(note.measure, []).append(note)
    return found


def _reach(part: Part) -> dict[int, int]:
    """Ticks from the start of each bar to the furthest end of its notes."""
    return {bar: end - part.measures[bar].onset for bar, end in ends(part).items()}
