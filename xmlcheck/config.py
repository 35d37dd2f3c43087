"""The configuration file `xmlcheck.toml`: data only, never Python. A leaf module. Its keys: schemas/config-1.schema.json.

It says which instrument a part is for, which grades and settings apply, which findings somebody has accepted, and what the
players at hand can do. A key that is not known is an error, because a misspelt key would silently check something else.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from xmlcheck.errors import BadConfig
from xmlcheck.finding import Grade

NAME = "xmlcheck.toml"
SCHEMA = "config-1"
Marks = Literal["usual", "all", "none"]
MARKS: tuple[Marks, ...] = ("usual", "all", "none")
OFF: Literal["off"] = "off"
_GRADES = tuple(grade.value for grade in reversed(Grade))


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding that somebody has looked at and accepted: its id, who, and why."""

    id: str
    by: str
    why: str


@dataclass(frozen=True, slots=True)
class Player:
    """One player or section of the session: the part (id or name), the instrument, and what differs from its profile."""

    part: str
    instrument: str | None = None
    tables: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Config:
    """What a configuration file says; the defaults are those of a run without one.

    parts: part id or name to profile id or alias. grades: rule id to the grade to give, or "off". settings: rule id to named
    values. instruments, plugins: paths, resolved against the file's folder. ensemble: profile id to facet tables.
    """

    parts: Mapping[str, str] = field(default_factory=dict)
    hold_at: Grade = Grade.HALT
    marks: Marks = "usual"
    grades: Mapping[str, Grade | Literal["off"]] = field(default_factory=dict)
    settings: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    accept: tuple[Accepted, ...] = ()
    instruments: tuple[Path, ...] = ()
    plugins: tuple[Path, ...] = ()
    ensemble: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    players: Mapping[str, Player] = field(default_factory=dict)
    roles: Mapping[str, Literal["played", "not-played"]] = field(default_factory=dict)
    path: Path | None = None

    def layers(self, profile: str, part: str, name: str) -> tuple[tuple[str, Mapping[str, Any]], ...]:
        """(origin, facet tables) to lay over a profile for one part, the stronger later: the ensemble's, then its player's."""
        found: list[tuple[str, Mapping[str, Any]]] = []
        if profile in self.ensemble:
            found.append((f"{NAME} ensemble", self.ensemble[profile]))
        keys = {_folded(part), _folded(name)} - {""}
        for player, item in self.players.items():
            if _folded(item.part) in keys and item.instrument in (None, profile):
                found.append((f"{NAME} players.{player}", item.tables))
        return tuple(found)


def find(folder: Path) -> Path | None:
    """The configuration file of a folder: in it, or in the nearest folder above, up to one that holds `.git` or the root."""
    folder = folder.resolve()
    for place in (folder, *folder.parents):
        if (place / NAME).is_file():
            return place / NAME
        if (place / ".git").exists():
            return None
    return None


def load(path: Path) -> Config:
    """The configuration of a file. Raises BadConfig: missing, not TOML, an unknown key, a value of the wrong kind."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise BadConfig(f"{path}: no such configuration file.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise BadConfig(f"{path}: cannot be read as UTF-8 text ({error}).") from None
    return parse(text, path)


def parse(text: str, path: Path) -> Config:
    """The configuration of a TOML text; `path` tells where it stands, for messages and relative paths. Raises BadConfig."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadConfig(f"{path}: not TOML ({error}).") from None
    _known(table, ("schema", *(key for key in Config.__dataclass_fields__ if key != "path")), str(path))
    if table.get("schema", SCHEMA) != SCHEMA:
        raise BadConfig(f"{path}: schema is {table['schema']!r}; this version reads {SCHEMA!r}.")
    where = f"{path}: "
    roles = {name: _role(item, f"{where}roles.{name}") for name, item in _table(table, "roles", where).items()}
    players = {name: _player(item, f"{where}players.{name}") for name, item in _table(table, "players", where).items()}
    return Config(
        parts=_by_players(players) | _parts(_table(table, "parts", where), f"{where}parts"),
        hold_at=Grade(_choice(table.get("hold_at", "halt"), _GRADES, f"{where}hold_at")),
        marks=_marks(table.get("marks", "usual"), f"{where}marks"),
        grades=_grades(_table(table, "grades", where), f"{where}grades"),
        settings=_with_roles(_settings(_table(table, "settings", where), f"{where}settings"), roles),
        accept=tuple(_accepted(item, f"{where}accept") for item in _list(table, "accept", where)),
        instruments=_paths(table, "instruments", path),
        plugins=_paths(table, "plugins", path),
        ensemble={key: _tables(item, f"{where}ensemble.{key}") for key, item in _table(table, "ensemble", where).items()},
        players=players,
        roles=roles,
        path=path,
    )


def nearest(word: str, known: Iterable[str]) -> str:
    """`; the nearest is "…"` for a misspelt word, empty where nothing is near."""
    by_fold = {_folded(item).replace("-", "_"): item for item in known}
    close = difflib.get_close_matches(_folded(word).replace("-", "_"), by_fold, 1, 0.6)
    return f'; the nearest is "{by_fold[close[0]]}"' if close else ""


def _known(table: Mapping[str, Any], keys: tuple[str, ...], where: str) -> None:
    for key in table:
        if key not in keys:
            raise BadConfig(f'{where}: unknown key "{key}"{nearest(key, keys) or "; known keys: " + ", ".join(keys)}.')


def _by_players(players: Mapping[str, Player]) -> dict[str, str]:
    """The instrument of each part that exactly one player has; a part with several keeps to what the file says."""
    parts = [_folded(player.part) for player in players.values()]
    alone = (player for player in players.values() if parts.count(_folded(player.part)) == 1)
    return {player.part: player.instrument for player in alone if player.instrument is not None}


def _player(item: Any, where: str) -> Player:
    table = dict(_is_table(item, where))
    if "part" not in table:
        raise BadConfig(f'{where}: the key "part" is missing: the id or name of the part that is played.')
    part = _text(table.pop("part"), f"{where}.part")
    instrument = table.pop("instrument", None)
    if instrument is not None:
        instrument = _text(instrument, f"{where}.instrument")
    for key, value in table.items():
        if not isinstance(value, dict):
            near = nearest(key, ("part", "instrument"))
            raise BadConfig(f'{where}: unknown key "{key}"{near}; all but part and instrument are tables of a profile.')
    return Player(part, instrument, table)


def _parts(table: Mapping[str, Any], where: str) -> dict[str, str]:
    return {key: _text(item, f"{where}.{key}") for key, item in table.items()}


def _accepted(item: Any, where: str) -> Accepted:
    table = _is_table(item, where)
    keys = ("id", "by", "why")
    _known(table, keys, where)
    missing = [key for key in keys if key not in table]
    if missing:
        raise BadConfig(f'{where}: the key "{missing[0]}" is missing; an accepted finding tells its id, by whom, and why.')
    return Accepted(*(_text(table[key], f"{where}.{key}") for key in keys))


def _grades(table: Mapping[str, Any], where: str) -> dict[str, Grade | Literal["off"]]:
    found: dict[str, Grade | Literal["off"]] = {}
    for key, item in _by_rule(table, where, (str,)).items():
        word = _choice(item, (*_GRADES, OFF), f"{where}.{key}")
        found[key] = OFF if word == OFF else Grade(word)
    return found


def _settings(table: Mapping[str, Any], where: str) -> dict[str, Mapping[str, Any]]:
    found = {}
    for rule, values in _by_rule(table, where, (dict,)).items():
        for key, value in _is_table(values, f"{where}.{rule}").items():
            if isinstance(value, dict):
                raise BadConfig(f'{where}.{rule}: "{key}" is a table; a setting is a number, text, true or false, or a list.')
        found[rule] = values
    return found


ROLE_RULE = "part.not-played"
"""The rule that takes tracks which no musician plays out of the check; it knows them by the settings `parts` and `played`."""


def _role(item: Any, where: str) -> Literal["played", "not-played"]:
    return "played" if _choice(item, ("played", "not-played"), where) == "played" else "not-played"


def _with_roles(settings: dict[str, Mapping[str, Any]], roles: Mapping[str, str]) -> dict[str, Mapping[str, Any]]:
    """The settings, with the roles of parts as those of the rule that knows them."""
    if not roles:
        return settings
    own = dict(settings.get(ROLE_RULE, {}))
    for key, role in (("parts", "not-played"), ("played", "played")):
        names = [str(own[key])] if own.get(key) else []
        own[key] = ", ".join([*names, *(name for name, given in roles.items() if given == role)])
    return {**settings, ROLE_RULE: own}


def _by_rule(table: Mapping[str, Any], where: str, leaf: tuple[type, ...]) -> dict[str, Any]:
    """Values by rule id. `compass.below = …` without quotes is a table in a table in TOML and means the same."""
    found: dict[str, Any] = {}
    for key, item in table.items():
        if "." in key:
            found[key] = item
            continue
        if not isinstance(item, dict) or not item or not all(isinstance(value, leaf) for value in item.values()):
            raise BadConfig(f'{where}: "{key}" is no rule; a rule is named with its area, as in "area.slug".')
        found |= {f"{key}.{slug}": value for slug, value in item.items()}
    return found


def _paths(table: Mapping[str, Any], key: str, path: Path) -> tuple[Path, ...]:
    items = (_text(item, f"{path}: {key}") for item in _list(table, key, f"{path}: "))
    return tuple(path.parent / Path(item).expanduser() for item in items)


def _tables(item: Any, where: str) -> Mapping[str, Any]:
    for key, value in _is_table(item, where).items():
        _is_table(value, f"{where}.{key}")
    return item  # type: ignore[no-any-return]


def _table(table: Mapping[str, Any], key: str, where: str) -> Mapping[str, Any]:
    return _is_table(table.get(key, {}), f"{where}{key}")


def _is_table(item: Any, where: str) -> Mapping[str, Any]:
    if not isinstance(item, dict):
        raise BadConfig(f"{where}: expected a table, found {item!r}.")
    return item


def _list(table: Mapping[str, Any], key: str, where: str) -> list[Any]:
    item = table.get(key, [])
    if not isinstance(item, list):
        raise BadConfig(f"{where}{key}: expected a list, found {item!r}.")
    return item


def _text(item: Any, where: str) -> str:
    if not isinstance(item, str) or not item.strip():
        raise BadConfig(f"{where}: expected a text, found {item!r}.")
    return item


def _choice(item: Any, words: tuple[str, ...], where: str) -> str:
    if item not in words:
        near = nearest(item, words) if isinstance(item, str) else ""
        raise BadConfig(f"{where} is {item!r}, which is none of {', '.join(words)}{near}.")
    return item  # type: ignore[no-any-return]


def _marks(item: Any, where: str) -> Marks:
    word = _choice(item, MARKS, where)
    return next(mark for mark in MARKS if mark == word)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()
