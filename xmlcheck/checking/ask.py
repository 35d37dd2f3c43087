"""Rules ask, profiles answer: finds a value for each parameter of a rule, by its type."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from xmlcheck.cited import Cited, Vouched
from xmlcheck.facets import UNIVERSAL, Breath, Session
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.identify import Match
from xmlcheck.profile import Profile
from xmlcheck.rule import Derived, Need, Rule
from xmlcheck.siblings import FIRST, Before, Siblings

_OF_ALL = {kind.FACET for kind in UNIVERSAL if kind not in (Breath, Session)}  # type: ignore[attr-defined]
"""Facets that every instrument can be expected to have; breath is for those that are blown."""


class Unanswered(Exception):
    """The chair has no value for a need; `facet` is the key of the missing facet, or the type's name.

    own_kind: whether the rule is about the chair's mechanism, so that the gap is worth telling.
    """

    def __init__(self, facet: str, own_kind: bool = False) -> None:
        super().__init__(facet)
        self.facet, self.own_kind = facet, own_kind


Shared = Mapping[Any, Mapping[str, Any]]
"""Settings of derived values, by their type: those of the rules that they serve."""


def shared_settings(rules: Iterable[Rule], derived: Mapping[Any, Derived], settings: Mapping[str, Mapping[str, Any]]) -> Shared:
    """What the settings of rules say to the values that several rules share, whichever of them asks first, or is off.

    Of two rules that set the same name of a shared value otherwise, the first by id holds.
    """
    found: dict[Any, dict[str, Any]] = {}
    for rule in rules:
        own = settings.get(rule.id)
        for kind in _reached(rule.needs, derived, set()) if own else ():
            names = {need.name for need in derived[kind].needs if need.setting}
            for name, value in own.items() if own else ():
                if name in names:
                    found.setdefault(kind, {}).setdefault(name, value)
    return found


def _reached(needs: tuple[Need, ...], derived: Mapping[Any, Derived], seen: set[Any]) -> set[Any]:
    """The derived values that these needs lead to."""
    for need in needs:
        if need.kind in derived and need.kind not in seen:
            seen.add(need.kind)
            _reached(derived[need.kind].needs, derived, seen)
    return seen


class Desk:
    """All that can be asked about one chair. Derived values are computed once and kept."""

    def __init__(
        self,
        chair: Chair,
        match: Match,
        profile: Profile | None,
        derived: Mapping[Any, Derived],
        siblings: Siblings | None = None,
        before: Before = FIRST,
        shared: Shared | None = None,
    ) -> None:
        self.chair, self.match, self.profile, self.siblings, self.before = chair, match, profile, siblings, before
        self._derived = derived
        self.shared = shared or {}
        self._values: dict[Any, Any] = {Chair: chair, ScoreFacts: chair.facts, Match: match, Before: before}
        if profile is not None:
            self._values[Profile] = profile
            if siblings is not None:
                self._values[Siblings] = siblings
            self._values |= {type(facet): facet for facet in profile.facets.values()}
        self._gaps: dict[Any, str] = {}
        self._other_kinds: set[str] = set()
        self._broken: dict[Any, BaseException] = {}
        self.used: set[str] = set()

    def answers(self, needs: tuple[Need, ...], settings: Mapping[str, Any]) -> dict[str, Any]:
        """Arguments by parameter name. Raises Unanswered where a required value is missing, before anything is computed."""
        lacking = self._lacking(needs)
        if lacking:
            raise Unanswered(lacking, lacking in _OF_ALL or (lacking not in self._other_kinds and self._own_kind(needs)))
        result: dict[str, Any] = {}
        for need in needs:
            if need.setting:
                result[need.name] = settings.get(need.name, need.default)
            elif need.optional:
                try:
                    result[need.name] = self._find(need.kind)
                except Unanswered:
                    result[need.name] = None
            else:
                result[need.name] = self._find(need.kind)
        return result

    def _own_kind(self, needs: tuple[Need, ...]) -> bool:
        """Whether the chair has some facet of a mechanism that these needs ask for: then the rule is about its kind."""
        for need in needs:
            if need.kind in self._values and hasattr(need.kind, "FACET") and need.kind not in UNIVERSAL:
                return True
            derived = self._derived.get(need.kind)
            if derived is not None and self._own_kind(derived.needs):
                return True
        return False

    def _lacking(self, needs: tuple[Need, ...]) -> str:
        """The first facet that these needs, or what they are derived from, ask for in vain; "" where there is none."""
        return next(
            (missing for need in needs if not need.setting and not need.optional and (missing := self._gap(need.kind))), ""
        )

    def _gap(self, kind: Any) -> str:
        if kind in self._values:
            return ""
        if kind not in self._gaps:
            derived = self._derived.get(kind)
            name = str(getattr(kind, "FACET", getattr(kind, "__name__", kind)))
            if getattr(kind, "OF_A_KIND", False):  # an instrument without it is of another kind: nothing is wanting
                self._other_kinds.add(name)
            self._gaps[kind] = name if derived is None else self._lacking(derived.needs)
        return self._gaps[kind]

    def _find(self, kind: Any) -> Any:
        if kind not in self._values:
            derived = self._derived.get(kind)
            if derived is None:
                raise Unanswered(getattr(kind, "FACET", getattr(kind, "__name__", str(kind))))
            if kind in self._broken:
                raise self._broken[kind]
            try:
                self._values[kind] = derived.compute(**self.answers(derived.needs, self.shared.get(kind, {})))
            except Unanswered:
                raise
            except BaseException as error:  # kept: it is not computed, or waited for, again for each rule that asks
                error.add_note(f"in {derived.compute.__name__} of {derived.plugin}")
                self._broken[kind] = error
                raise
        facet = getattr(kind, "FACET", None)
        if facet is not None:
            self.used.add(facet)
        return self._values[kind]

    def called(self, values: tuple[Vouched, ...]) -> tuple[str, ...]:
        """What the profile calls these values: `compass.lowest = G3 (documented: ...)`."""
        if self.profile is None:
            return ()
        names = _value_names(self.profile)
        return tuple(_described(names.get(id(value), "value"), value, self.profile) for value in values)


def _value_names(profile: Profile) -> dict[int, str]:
    """Object identity to `facet.key` for every cited value of a profile."""
    names: dict[int, str] = {}
    for key, facet in profile.facets.items():
        if not is_dataclass(facet):
            continue
        for item in fields(facet):
            value = getattr(facet, item.name)
            if isinstance(value, Cited):
                names[id(value)] = f"{key}.{item.name}"
            elif isinstance(value, tuple):
                names |= {id(record): f"{key}.{item.name}.{getattr(record, 'id', n)}" for n, record in enumerate(value)}
    return names


def _described(name: str, value: Vouched, profile: Profile) -> str:
    said = f" = {value.value}" if isinstance(value, Cited) else ""
    sources = "; ".join(profile.source(key) for key in value.cite)
    return f"{name}{said} ({value.certainty.value}{': ' + sources if sources else ''})"
