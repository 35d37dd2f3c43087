"""Profiles: what one instrument can do, as data. TOML tables in, frozen facets out; knows no particular instrument.

Layers are merged leaf by leaf before facets are built, later wins: family (`extends`) < profile < ensemble or player of
`xmlcheck.toml` < command line. Each leaf keeps the layer it came from (`Cited.origin`).
"""

from __future__ import annotations

import tomllib
import types
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, dataclass, field, fields
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from xmlcheck import pitch
from xmlcheck.cited import Cited
from xmlcheck.errors import BadPlugin
from xmlcheck.finding import Certainty

F = TypeVar("F")
_META = {
    "schema", "id", "abstract", "extends", "names", "aliases", "abbreviations", "sound_ids", "programs", "key_names",
    "family", "tradition", "mechanism", "cautions", "sources",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Caution:
    """Something that can hurt a player or an instrument, with its source."""

    text: str
    cite: tuple[str, ...] = ()
    certainty: Certainty = Certainty.MEMORY


@dataclass(frozen=True, slots=True)
class Profile:
    """One instrument. names: language code to name. facets: by facet key. unowned: tables that no installed plugin owns."""

    id: str
    names: Mapping[str, str]
    plugin: str
    family: str = ""
    tradition: str = ""
    mechanism: str = ""
    facets: Mapping[str, Any] = field(default_factory=dict)
    tables: Mapping[str, Any] = field(default_factory=dict)
    cautions: tuple[Caution, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    unowned: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The English name, or the id."""
        return self.names.get("en", self.id)

    def get(self, kind: type[F]) -> F | None:
        """The facet of this type, or None where the profile states none."""
        value = self.facets.get(kind.FACET)  # type: ignore[attr-defined]
        return value if isinstance(value, kind) else None

    def source(self, key: str) -> str:
        """The full text of a source key; the key itself where the profile does not list it."""
        return self.sources.get(key, key)


def read_table(text: str, where: str) -> dict[str, Any]:
    """The TOML tables of a profile. Raises BadPlugin, naming the file, where it is not TOML or not `profile-1`."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadPlugin(f"{where}: not TOML ({error}).") from error
    if table.get("schema") != "profile-1" or not isinstance(table.get("id"), str):
        raise BadPlugin(f'{where}: a profile opens with schema = "profile-1" and an id.')
    return table


def merged(lower: Mapping[str, Any], upper: Mapping[str, Any], origin: str = "") -> dict[str, Any]:
    """Two layers of tables, `upper` winning leaf by leaf. A leaf is a table with `value`, a list, or a plain value.

    Lists of records with an `id` are merged record by record: the upper record takes the place of the lower of its id, new ones
    follow, and `{ id = "…", drop = true }` takes one out. So a family's techniques hold for its members.
    """
    result = dict(lower)
    for key, value in upper.items():
        below = result.get(key)
        if isinstance(value, Mapping) and "value" not in value:
            result[key] = merged(below if isinstance(below, Mapping) and "value" not in below else {}, value, origin)
        elif isinstance(value, Mapping):
            result[key] = {"origin": origin, **value} if origin else dict(value)
        elif _records(value) and (_records(below) or any(item.get("drop") for item in value)):
            result[key] = _merged_records(below if isinstance(below, list) else [], value)
        else:
            result[key] = value
    return result


def _records(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, Mapping) and "id" in item for item in value)


def _merged_records(lower: list[Any], upper: list[Any]) -> list[Any]:
    mine = {item["id"]: item for item in upper}
    kept = [mine.pop(item["id"], item) for item in lower]
    return [item for item in (*kept, *mine.values()) if not item.get("drop")]


def build(table: Mapping[str, Any], kinds: Mapping[str, type], plugin: str, where: str) -> Profile:
    """The profile of merged tables. `kinds` maps facet keys to facet types. Raises BadPlugin, naming table and key."""
    facets: dict[str, Any] = {}
    unowned = []
    for key, value in table.items():
        if key in _META:
            continue
        if key not in kinds:
            unowned.append(key)
            continue
        facets[key] = record(kinds[key], value, f"{where}, [{key}]")
    cautions = tuple(record(Caution, item, f"{where}, cautions") for item in table.get("cautions", ()))
    return Profile(
        id=table["id"],
        names=dict(table.get("names", {})),
        plugin=plugin,
        family=table.get("family", ""),
        tradition=table.get("tradition", ""),
        mechanism=table.get("mechanism", ""),
        facets=facets,
        tables={key: value for key, value in table.items() if key not in _META},
        cautions=cautions,
        sources=dict(table.get("sources", {})),
        unowned=tuple(unowned),
    )


def record(kind: type[F], table: Any, where: str) -> F:
    """A frozen value of `kind` from a TOML table, by its type hints. Raises BadPlugin for a missing, unknown or odd key."""
    if not isinstance(table, Mapping):
        raise BadPlugin(f"{where}: expected a table, found {table!r}.")
    target: Any = kind
    hints = _hints(target)
    unknown = sorted(set(table) - set(hints))
    if unknown:
        raise BadPlugin(f"{where}: unknown key {unknown[0]!r}; known keys: {', '.join(hints)}.")
    values = {key: _value(hints[key], item, f"{where}, {key}") for key, item in table.items()}
    missing = [name for name in _required(target) if name not in values]
    if missing:
        raise BadPlugin(f"{where}: the key {missing[0]!r} is missing.")
    return kind(**values)


@cache
def _hints(kind: Any) -> dict[str, Any]:
    hints = get_type_hints(kind)
    return {item.name: hints[item.name] for item in fields(kind)}


@cache
def _required(kind: Any) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind) if f.default is MISSING and f.default_factory is MISSING)


def _value(hint: Any, item: Any, where: str) -> Any:
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        inner = [arg for arg in get_args(hint) if arg is not type(None)]
        return _value(inner[0], item, where)
    if origin is Cited:
        return _cited(get_args(hint)[0], item, where)
    if origin is tuple:
        if isinstance(item, (str, bytes)) or not isinstance(item, Iterable):
            raise BadPlugin(f"{where}: expected a list, found {item!r}.")
        arg = get_args(hint)[0]
        return tuple(_value(arg, element, f"{where}[{n}]") for n, element in enumerate(item))
    return _plain(hint, item, where)


def _cited(kind: Any, item: Any, where: str) -> Cited[Any]:
    if not isinstance(item, Mapping) or "value" not in item:
        raise BadPlugin(f"{where}: expected {{ value = …, cite = […], certainty = … }}, found {item!r}.")
    unknown = sorted(set(item) - {"value", "cite", "certainty", "note", "origin"})
    if unknown:
        raise BadPlugin(f"{where}: unknown key {unknown[0]!r}.")
    return Cited(
        value=_value(kind, item["value"], where),
        cite=tuple(item.get("cite", ())),
        certainty=_plain(Certainty, item.get("certainty", "memory"), where),
        note=item.get("note", ""),
        origin=item.get("origin", ""),
    )


def _plain(kind: Any, item: Any, where: str) -> Any:
    try:
        if kind is pitch.Pitch:
            return pitch.parse(item)
        if kind is Certainty:
            return Certainty(item)
        if kind is Decimal:
            return Decimal(str(item))
        if kind is float and isinstance(item, int) and not isinstance(item, bool):
            return float(item)
    except (ValueError, ArithmeticError, AttributeError) as error:
        raise BadPlugin(f"{where}: {error}.") from error
    if hasattr(kind, "__dataclass_fields__"):
        return record(kind, item, where)
    if not isinstance(item, kind) or (kind is not bool and isinstance(item, bool)):
        raise BadPlugin(f"{where}: expected {kind.__name__}, found {item!r}.")
    return item
