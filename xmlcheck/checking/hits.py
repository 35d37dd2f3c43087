"""What a rule gives is looked over before anything is built on it: a hit that is none would break the whole report."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from xmlcheck.finding import Grade, Place, Plan, PlanLine
from xmlcheck.model import Part, Score
from xmlcheck.rule import Hit

_DEEPEST = 8
_PLAIN = (str, int, type(None))


class Nonsense(Exception):
    """What a rule gave is no hit; the text says why."""


class Reach:
    """Looks hits over against one score: the places that they name must be in it."""

    def __init__(self, score: Score) -> None:
        self._parts = {part.id: part for part in score.parts}
        self._anchors: dict[str, tuple[int, int]] = {}

    def check(self, given: Any, part: Part | None) -> None:
        """Raises Nonsense unless this is a hit or plan that can be told. part: what the rule was asked about; None: all."""
        if isinstance(given, Plan):
            self._plan(given)
            return
        if not isinstance(given, Hit):
            raise Nonsense(f"it gave {_called(given)}, which is no hit")
        _kinds(given.at, object, "at")
        if part is None and given.part and given.part not in self._parts:
            raise Nonsense(f"a hit is in the part {given.part!r}, which is not in the score")
        for item in given.at:
            self._placed(item, part or self._parts.get(given.part))
        if not isinstance(given.values, Mapping) or not all(isinstance(key, str) for key in given.values):
            raise Nonsense(f"the values of a hit are {_called(given.values)}")
        for value in given.values.values():
            _plain(value, _DEEPEST)
        _kinds(given.rests_on, object, "rests_on")
        if not all(hasattr(value, "certainty") and hasattr(value, "cite") for value in given.rests_on):
            raise Nonsense("a hit rests on what nobody vouches for")
        if not isinstance(given.grade, Grade | None) or not isinstance(given.plan, Plan | None):
            raise Nonsense(f"the grade of a hit is {_called(given.grade)} and its plan {_called(given.plan)}")
        if not isinstance(given.group, str) or not isinstance(given.part, str):
            raise Nonsense("the group or part of a hit is no text")
        _kinds(given.alternatives, str, "alternatives")
        if given.plan is not None:
            self._plan(given.plan)

    def _placed(self, item: Any, part: Part | None) -> None:
        onset, measure, anchor = (getattr(item, name, None) for name in ("onset", "measure", "anchor"))
        if not (isinstance(onset, int) and isinstance(measure, int) and isinstance(anchor, int)):
            raise Nonsense(f"a hit is at {_called(item)}, which has no place in a score")
        if part is None:
            return
        low, high = self._span(part)
        if not 0 <= measure < len(part.measures) or not (low <= anchor <= high or anchor == -1):
            raise Nonsense(f"a hit is at {_called(item)} of another part or of none")

    def _plan(self, plan: Plan) -> None:
        texts = (plan.id, plan.kind, plan.part, *plan.rests_on)
        _kinds(plan.lines, PlanLine, "lines")
        if not all(isinstance(text, str) for text in (*texts, *(line.text for line in plan.lines))):
            raise Nonsense("a plan has what is no text in the place of a text")
        part = self._parts.get(plan.part)
        low, high = self._span(part) if part is not None else (0, -1)
        for line in plan.lines:
            if not isinstance(line.place, Place) or not isinstance(line.values, Mapping):
                raise Nonsense("a line of a plan has no place or no values")
            if line.place.anchor not in (None, -1) and not low <= line.place.anchor <= high:
                raise Nonsense("a line of a plan is at a place of another part or of none")
            for value in line.values.values():
                _plain(value, _DEEPEST)

    def _span(self, part: Part) -> tuple[int, int]:
        """The first and last anchor of a part; in a file that goes bar by bar, those of other parts lie between them."""
        if part.id not in self._anchors:
            events = [getattr(part, item.name) for item in fields(part)]
            lists = [items for items in events if isinstance(items, tuple) and items and hasattr(items[0], "anchor")]
            anchors = [event.anchor for items in lists for event in items if event.anchor >= 0]
            self._anchors[part.id] = min(anchors, default=0), max(anchors, default=-1)
        return self._anchors[part.id]


def _kinds(items: Any, kind: type, name: str) -> None:
    if not isinstance(items, (tuple, list)) or not all(isinstance(item, kind) for item in items):
        raise Nonsense(f"{name} is {_called(items)}")


def _plain(value: Any, depth: int) -> None:
    """Whether a value can stand in the findings file: all but numbers without an end, and heaps in heaps."""
    if isinstance(value, float) and not math.isfinite(value):
        raise Nonsense(f"a value is {value}")
    if isinstance(value, _PLAIN):
        return
    if depth == 0:
        raise Nonsense("a value holds values in values without an end")
    if isinstance(value, Mapping):
        for item in value.values():
            _plain(item, depth - 1)
    elif isinstance(value, (tuple, list, set, frozenset)):
        for item in value:
            _plain(item, depth - 1)
    elif hasattr(value, "__next__"):
        raise Nonsense("a value is a generator, which can be told once only")


def _called(value: Any) -> str:
    return f"a value of the kind {type(value).__name__}"
