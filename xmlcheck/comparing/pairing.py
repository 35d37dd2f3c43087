"""Which part of the old file is which part of the new one: by content, name, identity and instrument, in that weight.

A part that was renamed or moved is found by its music; where the music says nothing (new, empty or doubled parts) names decide.
The weights are ours.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from xmlcheck.comparing.view import PartView
from xmlcheck.model import Part

NAME, COMMON_NAME, ID, INSTRUMENT = 0.5, 0.35, 0.15, 0.1
"""Bonus for one folded name that no other part of either file has; for one that others have; for one id; for one sound id."""
ENOUGH = 0.45
"""From which sum on two parts are one: a name and an id without any common music, or music that is nearly half the same."""
CLEAR = 0.5
"""Share of equal bars from which on parts of one name and one id are not questioned."""


@dataclass(frozen=True, slots=True)
class PartPair:
    """Indices in the two scores; None where the part is only in the other. content: share of common music, 0 to 1."""

    old: int | None
    new: int | None
    content: float = 0.0


def pair(old: Sequence[PartView], new: Sequence[PartView]) -> list[PartPair]:
    """All parts of both files, in the order of the new one; what is only in the old one stands after the part it followed."""
    found: dict[int, PartPair] = {}
    left, right = set(range(len(old))), set(range(len(new)))
    bars_old, bars_new = [_bars(view) for view in old], [_bars(view) for view in new]
    for i, view in enumerate(old):
        for j in sorted(right):
            share = _share(bars_old[i], bars_new[j])
            empty = not bars_old[i] and not bars_new[j]
            if _key(view.part) == _key(new[j].part) and (share >= CLEAR or empty):
                found[j] = PartPair(i, j, share)
                left.discard(i)
                right.discard(j)
                break
    names = Counter(_name(view.part) for view in old), Counter(_name(view.part) for view in new)
    lines_old = {i: _lines(old[i].part) for i in left}
    lines_new = {j: _lines(new[j].part) for j in right}
    scored = []
    for i in left:
        for j in right:
            content = max(_share(bars_old[i], bars_new[j]), _share(lines_old[i], lines_new[j]))
            bonus = _bonus(old[i].part, new[j].part, names)
            scored.append((content + bonus, -abs(i - j), content, i, j))
    for score, _, content, i, j in sorted(scored, key=lambda one: (-one[0], -one[1], one[3], one[4])):
        if score >= ENOUGH and i in left and j in right:
            found[j] = PartPair(i, j, content)
            left.discard(i)
            right.discard(j)
    result = [found.get(j, PartPair(None, j)) for j in range(len(new))]
    for i in sorted(left):
        place = next(
            (n + 1 for n in range(len(result) - 1, -1, -1) if (result[n].old or 0) < i and result[n].old is not None), 0
        )
        result.insert(place, PartPair(i, None))
    return result


def _key(part: Part | None) -> tuple[str, str]:
    return (part.id, _name(part)) if part is not None else ("", "")


def _name(part: Part | None) -> str:
    return " ".join((part.display_name or part.name).casefold().split()) if part is not None else ""


def _bonus(old: Part | None, new: Part | None, names: tuple[Counter[str], Counter[str]]) -> float:
    if old is None or new is None:
        return 0.0
    bonus, name = 0.0, _name(old)
    if name and name == _name(new):
        bonus += NAME if names[0][name] == names[1][name] == 1 else COMMON_NAME
    if old.id == new.id:
        bonus += ID
    sounds = {one.sound for one in old.instruments if one.sound} & {one.sound for one in new.instruments if one.sound}
    bonus += INSTRUMENT if sounds else 0.0
    return bonus + (0.3 if not old.notes and not new.notes else 0.0)


def _bars(view: PartView) -> Counter[Any]:
    return Counter(bar.heads for bar in view.bars if bar.heads)


def _lines(part: Part | None) -> Counter[Any]:
    """The music as intervals and lengths, which no transposition and no barline changes."""
    if part is None:
        return Counter()
    notes = [note for note in part.notes if note.sounding is not None and note.duration]
    cents = [note.sounding.cents if note.sounding is not None else 0 for note in notes]
    return Counter(
        (cents[n + 1] - cents[n], (notes[n + 1].onset - notes[n].onset) / notes[n].duration) for n in range(len(notes) - 1)
    )


def _share(old: Counter[Any], new: Counter[Any]) -> float:
    """Common items, as a share of the longer."""
    if len(new) < len(old):
        old, new = new, old
    size = max(old.total(), new.total())
    return sum(min(count, new[item]) for item, count in old.items() if item in new) / size if size else 0.0
