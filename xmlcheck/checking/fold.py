"""One cause, one finding: hits explained by another rule fold under it; neighbouring hits of one rule become one finding."""

from __future__ import annotations

from collections.abc import Iterable
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
    causes = [case for case in cases if case.card.explains]
    if not causes:
        return cases
    covers: dict[str, list[tuple[Case, frozenset[int]]]] = {}
    for cause in causes:
        covers.setdefault(cause.chair, []).append((cause, cause.anchors))
    kept: list[Case] = []
    for case in cases:
        explained_by = _cause(case, covers.get(case.chair, ()))
        if explained_by is None:
            kept.append(case)
        elif case.card.id not in explained_by.also:
            explained_by.also.append(case.card.id)
    return kept


def _cause(case: Case, covers: Iterable[tuple[Case, frozenset[int]]]) -> Case | None:
    anchors = case.anchors
    for cause, covered in covers:
        if cause is not case and case.card.id in cause.card.explains and (not covered or (anchors and anchors <= covered)):
            return cause
    return None


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
