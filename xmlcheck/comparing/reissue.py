"""Which parts need a new page, from which bar to which, and what to tell the player."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from xmlcheck.comparing import telling
from xmlcheck.comparing.change import IDENTITY, Change, PartMatch, Run, Stretch
from xmlcheck.comparing.consequences import Consequences, PlanFate
from xmlcheck.comparing.spots import Spots
from xmlcheck.comparing.structure import bars as bars_text
from xmlcheck.model import Part, Score

INSERT_SHARE = 0.25
"""Share of changed bars up to which pages are put in; above, the whole part is printed again (ours: a setting of the house)."""
INSERT_PLACES = 3
"""Separate places up to which pages are put in (ours)."""
APART = 4
"""Bars without a change after which another place begins: about what a page turn needs (ours)."""
NONE, HEADING, PAGES, WHOLE = "none", "heading", "insert pages", "whole part"


@dataclass(frozen=True, slots=True)
class Reissue:
    """One part. advice: none, heading (only its name changed), insert pages, or whole part. places: bars of the new file that
    the new pages hold. numbers_hold: all bars that stayed keep their numbers. tell: the words for the player."""

    part: str
    name: str
    advice: str
    places: tuple[Stretch, ...]
    bars: int
    share: float
    numbers_hold: bool
    tell: str


def reissues(
    new: Score,
    old: Score,
    parts: Sequence[PartMatch],
    runs: Sequence[Run],
    changes: Sequence[Change],
    found: Consequences | None,
) -> tuple[Reissue, ...]:
    """The parts of the new file in their order."""
    before = {part.id: part for part in old.parts}
    by_new = {match.new: match for match in parts if match.new is not None}
    result = []
    for part in new.parts:
        match = by_new.get(part.id)
        own = [one for one in changes if one.part == part.id or part.id in one.parts or (one.part is None and not one.parts)]
        plans = [plan for plan in found.plans if plan.part == part.id] if found is not None else []
        earlier = before.get(match.old) if match is not None and match.old is not None else None
        result.append(_one(part, earlier, own, runs, plans))
    return tuple(result)


def _one(part: Part, earlier: Part | None, own: Sequence[Change], runs: Sequence[Run], plans: Sequence[PlanFate]) -> Reissue:
    name = " ".join((part.display_name or part.name or part.id).split())
    size = len(part.measures)
    if earlier is None:
        whole = _stretch(part, 0, size - 1) if size else None
        return Reissue(part.id, name, WHOLE, (whole,) if whole else (), size, 1.0, True, "a new part")
    touched = _touched(own, size)
    places = tuple(_stretch(part, first, last) for first, last in _places(touched))
    share = len(touched) / size if size else 0.0
    hold = _numbers_hold(part, earlier, runs)
    musical = [change for change in own if change.layer != IDENTITY]
    if not musical:
        advice = HEADING if own else NONE
    elif hold and share <= INSERT_SHARE and len(places) <= INSERT_PLACES:
        advice = PAGES
    else:
        advice = WHOLE
    return Reissue(part.id, name, advice, places, len(touched), round(share, 3), hold, _tell(own, plans, hold))


def _touched(changes: Iterable[Change], size: int) -> set[int]:
    """Bars of the new part that have a change; where bars were cut, the one after."""
    found: set[int] = set()
    for change in changes:
        if change.new is not None:
            found.update(range(change.new.bar_index, change.new.to_bar_index + 1))
        elif "before_index" in change.values:
            found.add(change.values["before_index"])
    return {index for index in found if 0 <= index < size}


def _places(touched: set[int]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for index in sorted(touched):
        if found and index - found[-1][1] <= APART:
            found[-1] = (found[-1][0], index)
        else:
            found.append((index, index))
    return found


def _stretch(part: Part, first: int, last: int) -> Stretch:
    return Spots(part, 1).stretch(first, last)


def _numbers_hold(new: Part, old: Part, runs: Sequence[Run]) -> bool:
    own = [run for run in runs if run.part in (None, new.id)]
    return all(
        new.measures[run.new + n].text == old.measures[run.old + n].text
        for run in own
        for n in range(run.count)
        if run.new + n < len(new.measures) and run.old + n < len(old.measures)
    )


def _tell(changes: Sequence[Change], plans: Sequence[PlanFate], hold: bool) -> str:
    """What to say to the player, the bars as wholes first."""
    pieces: list[str] = []
    notes: list[Change] = []
    for change in changes:
        told = _phrase(change)
        if told:
            pieces.append(told)
        elif change.layer != IDENTITY and change.new is not None:
            notes.append(change)
    places = _places(
        {index for change in notes if change.new for index in range(change.new.bar_index, change.new.to_bar_index + 1)}
    )
    texts = {change.new.bar_index: change.new.bar for change in notes if change.new}
    texts |= {change.new.to_bar_index: change.new.to_bar for change in notes if change.new}
    for first, last in places:
        span = f"bar {texts[first]}" if first == last else f"bars {texts[first]}-{texts[last]}"
        inside = [change for change in notes if change.new and first <= change.new.bar_index <= last]
        pieces.append(f"{span}: {telling.counted(len(inside), 'change')}")
    if pieces and not hold:
        pieces.append("later bars have other numbers")
    for plan in plans:
        fates = {"holds": "unchanged", "changed": "plan changed", "new": "plan new", "gone": "plan no longer needed"}
        pieces.append(f"{plan.kind} {fates[plan.fate]}")
    return ", ".join(dict.fromkeys(pieces)) or "nothing changed"


def _phrase(change: Change) -> str:
    """A change that is told by itself."""
    there = bars_text(change.new) if change.new is not None else ""
    here = bars_text(change.old) if change.old is not None else ""
    phrases = {
        "bars-inserted": f"{there} new",
        "bars-deleted": f"{here} cut",
        "bars-moved": f"{there} moved from {here}",
        "bars-repeated": f"{there} as {here} once more",
        "bars-split": f"{here} divided",
        "bars-joined": f"{here} joined",
        "rebarred": f"{there} barred otherwise",
        "tempo": f"{there}: {change.text}",
        "part-renamed": f"now called {change.now}",
    }
    if change.kind in ("transposed", "octave"):
        return f"{there} {telling.interval(int(change.values['cents']))}"
    if change.kind in ("meter", "key", "tuning", "transposition"):
        return f"{there}: {change.text}"
    return phrases.get(change.kind, "")
