"""One cause, one finding: hits explained by another rule fold under it; neighbouring hits of one rule become one finding."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from xmlcheck.checking.ask import Desk
from xmlcheck.finding import Certainty, Grade
from xmlcheck.rule import Card, Hit


@dataclass(slots=True)
class Case:
    """One hit on its way to a finding: with its card, the desk it came from (None: the whole score), grade and certainty."""

    card: Card
    desk: Desk | None
    hit: Hit
    grade: Grade
    certainty: Certainty
    also: list[str] = field(default_factory=list)

    @property
    def part(self) -> str:
        return self.desk.chair.part.id if self.desk is not None else self.hit.part

    @property
    def chair(self) -> str:
        return self.desk.chair.name if self.desk is not None else self.hit.part

    @property
    def anchors(self) -> frozenset[int]:
        found: set[int] = set()
        for item in self.hit.at:
            found.update(part.anchor for part in getattr(item, "notes", None) or getattr(item, "tones", None) or (item,))
        return frozenset(found)


def folded(cases: list[Case]) -> list[Case]:
    """The cases without those that another explains: same chair, and events within the cause's (a whole part covers all)."""
    causes = _Causes(cases)
    kept: list[Case] = []
    for case in cases:
        explained_by = causes.of(case)
        if explained_by is None:
            kept.append(case)
        elif case.card.id not in explained_by.also:
            explained_by.also.append(case.card.id)
    return kept


@dataclass(frozen=True, slots=True)
class _Cause:
    """A case that explains others, its place among all cases, and the events that it covers; none: the whole part."""

    number: int
    case: Case
    covered: frozenset[int]


class _Causes:
    """The causes among the cases, found by their events, so that no case is held against all of them."""

    def __init__(self, cases: list[Case]) -> None:
        told = {(case.chair, case.card.id) for case in cases}
        self._whole: dict[tuple[str, str], list[_Cause]] = {}  # by chair and the rule that is explained
        self._at: dict[tuple[str, int], list[_Cause]] = {}  # by chair and event
        for number, case in enumerate(cases):
            rules = [rule for rule in case.card.explains if (case.chair, rule) in told]
            if not rules:
                continue
            cause = _Cause(number, case, case.anchors)
            for anchor in cause.covered:
                self._at.setdefault((case.chair, anchor), []).append(cause)
            for rule in rules if not cause.covered else ():
                self._whole.setdefault((case.chair, rule), []).append(cause)

    def of(self, case: Case) -> Case | None:
        """The first case that explains this one."""
        whole = _first(self._whole.get((case.chair, case.card.id), ()), case)
        at_events = (self._at.get((case.chair, anchor), ()) for anchor in case.anchors)
        close = _first(min(at_events, key=len, default=()), case, case.anchors)  # a cause that covers all is under each
        found = [cause for cause in (whole, close) if cause is not None]
        return min(found, key=lambda cause: cause.number).case if found else None


def _first(causes: Sequence[_Cause], case: Case, anchors: frozenset[int] = frozenset()) -> _Cause | None:
    fits = (cause for cause in causes if cause.case is not case and case.card.id in cause.case.card.explains)
    return next((cause for cause in fits if anchors <= cause.covered), None)


def merged(cases: list[Case]) -> list[list[Case]]:
    """Cases in groups, one finding each, in order of part and place."""
    groups: list[list[Case]] = []
    latest: dict[tuple[str, str, str, Grade], list[Case]] = {}
    for case in cases:
        key = (case.chair, case.card.id, case.hit.group, case.grade)
        group = latest.get(key)
        if group is not None and _joins(group[-1], case):
            group.append(case)
            for rule in case.also:
                if rule not in group[0].also:
                    group[0].also.append(rule)
        else:
            group = latest[key] = [case]
            groups.append(group)
    return groups


def _joins(before: Case, case: Case) -> bool:
    if case.card.merge == "none":
        return False
    if case.card.merge == "part" or not case.hit.at or not before.hit.at:
        return True
    return case.hit.at[0].measure - before.hit.at[-1].measure <= 1
