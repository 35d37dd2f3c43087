"""What a rule is: a card (words, in TOML), and a pure function whose signature names what it needs.

    @rule
    def below(chair: Chair, compass: Compass) -> Hits:
        ...

A parameter may ask for the `Chair`, the `ScoreFacts`, the `Match`, any facet type, `Facet | None`, any derived type, or - as a
keyword with a plain default - a named setting. A chair whose profile lacks a required facet does not get the rule.
"""

from __future__ import annotations

import inspect
import tomllib
import types
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Protocol, TypeVar, Union, get_args, get_origin, get_type_hints

from xmlcheck.cited import Vouched
from xmlcheck.errors import BadPlugin
from xmlcheck.finding import Grade, Plan

Fn = TypeVar("Fn", bound=Callable[..., Any])
PHASES = ("claim", "check")
MERGES = ("bars", "part", "none")


class Placed(Protocol):
    """Anything that stands at a place in a part: a tone, note, rest, direction, clef ..."""

    @property
    def onset(self) -> int: ...
    @property
    def measure(self) -> int: ...
    @property
    def anchor(self) -> int: ...


@dataclass(frozen=True, slots=True)
class Hit:
    """One place where a rule has something to say.

    at: what is concerned, the first gives the place; empty for a whole part. values: for the card's words and the JSON.
    rests_on: the profile values the conclusion rests on; the weakest caps the grade. grade: lower than the card's, where this
    hit weighs less. group: hits merge only with hits of the same group. part: id of the part, for rules over the whole score.
    """

    at: tuple[Placed, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict)
    rests_on: tuple[Vouched, ...] = ()
    grade: Grade | None = None
    group: str = ""
    part: str = ""
    alternatives: tuple[str, ...] = ()
    plan: Plan | None = None


Hits = Iterator[Hit | Plan]
"""What a rule yields: hits, and plans (a tuning, a key ...) that stand by themselves, where nothing is amiss."""


@dataclass(frozen=True, slots=True)
class Card:
    """A rule's words and weight, from its `rule.toml`.

    grade: the highest it may give. label: at most five words for the score. message, remedy, alternatives may hold
    `{name}` fields out of the hit's values, `{instrument}` and `{count}`. merge: neighbouring hits become one finding over
    adjoining `bars`, over the `part`, or `none`. explains: rules whose findings on the same events fold under this one.
    """

    id: str
    title: str
    grade: Grade
    label: str
    message: str
    why: str
    remedy: str
    phase: str = "check"
    to: str = "composer"
    caution: str = ""
    alternatives: tuple[str, ...] = ()
    explains: tuple[str, ...] = ()
    merge: str = "bars"
    cite: tuple[str, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    base_rate: str = ""
    plugin: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """One parameter of a rule or derived value: its name, the type asked for, whether it may be absent, a setting's default."""

    name: str
    kind: Any
    optional: bool = False
    default: Any = inspect.Parameter.empty

    @property
    def setting(self) -> bool:
        return self.default is not inspect.Parameter.empty and not self.optional


@dataclass(frozen=True, slots=True)
class Rule:
    """A card joined with its function, and what the function asks for."""

    card: Card
    check: Callable[..., Hits]
    needs: tuple[Need, ...]

    @property
    def id(self) -> str:
        return self.card.id


@dataclass(frozen=True, slots=True)
class Derived:
    """A value computed once a chair from facts and facets, asked for by its type."""

    kind: Any
    compute: Callable[..., Any]
    needs: tuple[Need, ...]
    plugin: str = ""


def rule(function: Fn) -> Fn:
    """Mark the rule function of a `rule.py`; its card stands beside it in `rule.toml`."""
    function.__xmlcheck__ = "rule"  # type: ignore[attr-defined]
    return function


def derived(function: Fn) -> Fn:
    """Mark a function of a plugin's `derived.py` whose return type rules may ask for."""
    function.__xmlcheck__ = "derived"  # type: ignore[attr-defined]
    return function


@cache
def needs(function: Callable[..., Any]) -> tuple[Need, ...]:
    """What a rule or derived function asks for. Raises BadPlugin for a parameter without a type."""
    hints = get_type_hints(function)
    result = []
    for parameter in inspect.signature(function).parameters.values():
        kind = hints.get(parameter.name)
        if kind is None:
            raise BadPlugin(f"{function.__module__}.{function.__name__}: parameter {parameter.name!r} has no type.")
        optional = False
        if get_origin(kind) in (Union, types.UnionType):
            kind, optional = next(arg for arg in get_args(kind) if arg is not type(None)), True
        result.append(Need(parameter.name, kind, optional, parameter.default))
    return tuple(result)


def named(kind: Any) -> str:
    """A type asked for, by a name that an index can keep: a facet by its key in brackets, any other by module and name."""
    facet = getattr(kind, "FACET", None)
    if facet is not None:
        return f"[{facet}]"
    return f"{kind.__module__}.{kind.__qualname__}" if isinstance(kind, type) else repr(kind)


def required(needs: Iterable[Need]) -> list[str]:
    """The names of what must be there for a rule or derived value; settings and what may be absent are left out."""
    return [named(need.kind) for need in needs if not need.setting and not need.optional]


def requirements(derived: Iterable[Derived]) -> dict[str, list[str]]:
    """What each derived value requires, by its name."""
    return {named(item.kind): required(item.needs) for item in derived}


def facets_behind(names: Iterable[str], derived: Mapping[str, Iterable[str]]) -> frozenset[str]:
    """Keys of the facets that required names lead to, straight or through derived values (see `requirements`)."""
    found: set[str] = set()
    for name in names:
        if name.startswith("["):
            found.add(name[1:-1])
        else:
            found |= facets_behind(derived.get(name, ()), derived)
    return frozenset(found)


def returns(function: Callable[..., Any]) -> Any:
    """The type a derived function gives. Raises BadPlugin where it states none."""
    kind = get_type_hints(function).get("return")
    if kind is None:
        raise BadPlugin(f"{function.__module__}.{function.__name__}: a derived function states its return type.")
    return kind


_TEXTS = ("id", "title", "label", "message", "why", "remedy")


def card(table: Mapping[str, Any], plugin: str, where: str) -> Card:
    """The card of a `rule.toml` table. Raises BadPlugin, naming file and key."""
    for key in _TEXTS:
        if not isinstance(table.get(key), str) or not table[key].strip():
            raise BadPlugin(f"{where}: the card lacks {key!r}.")
    known = {*Card.__dataclass_fields__, "schema"}
    unknown = sorted(set(table) - known)
    if unknown:
        raise BadPlugin(f"{where}: unknown key {unknown[0]!r} in a rule card.")
    try:
        grade = Grade(table.get("grade"))
    except ValueError:
        raise BadPlugin(f"{where}: grade is one of halt, query, tidy.") from None
    if table.get("phase", "check") not in PHASES or table.get("merge", "bars") not in MERGES:
        raise BadPlugin(f"{where}: phase is one of {', '.join(PHASES)}; merge is one of {', '.join(MERGES)}.")
    values: dict[str, Any] = {
        key: tuple(item) if isinstance(item, list) else item for key, item in table.items() if key != "schema"
    }
    values |= {"grade": grade, "plugin": plugin, "where": where}
    for key in ("message", "why", "remedy", "caution"):
        if key in values:
            values[key] = " ".join(values[key].split())
    return Card(**values)


def read_card(text: str, plugin: str, where: str) -> Card:
    """The card of a `rule.toml` text. Raises BadPlugin."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadPlugin(f"{where}: not TOML ({error}).") from error
    if table.get("schema") != "rule-1":
        raise BadPlugin(f'{where}: a rule card opens with schema = "rule-1".')
    return card(table, plugin, where)
