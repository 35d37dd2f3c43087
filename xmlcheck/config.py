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


NOTATIONS = ("staff", "numbered", "tablature", "graphic", "by ear")
"""What players read from."""
CLEFS: dict[str, tuple[str, int | None]] = {
    "treble": ("G", 2), "bass": ("F", 4), "alto": ("C", 3), "tenor": ("C", 4), "tablature": ("TAB", None),
    "percussion": ("percussion", None), **{f"{sign}{line}": (sign, line) for sign in "GFC" for line in range(1, 6)},
}  # fmt: skip
"""Names of clefs: sign and line (MusicXML 4.0, element clef), or both together as in C1. With -8 or +8 an octave lower or higher."""
BRINGS = ("keys", "tunings", "sizes", "instruments")
RECORDINGS = ("together", "overdubs", "overdub")


@dataclass(frozen=True, slots=True)
class Player:
    """One player or section of the session: the part (id or name), the instrument, and what differs from its profile.

    doublings: further instruments. brings: kind of thing (keys, tunings, sizes, instruments) to names. reads: one of NOTATIONS;
    clef, tablature: which one, by name. key: what numbered notation calls 1. language: of the player's copy. take: number of
    the pass in which the part is recorded, 0 where not said. name: in full. tables: tables of a profile that hold for the player.
    """

    part: str
    instrument: str | None = None
    tables: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    doublings: tuple[str, ...] = ()
    brings: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    reads: str = ""
    clef: str = ""
    tablature: str = ""
    key: str = ""
    language: str = ""
    take: int = 0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Config:
    """What a configuration file says; the defaults are those of a run without one.

    parts: part id or name to profile id or alias. grades: rule id to the grade to give, or "off". settings: rule id to named
    values. instruments, plugins: paths, resolved against the file's folder. ensemble: profile id to facet tables. recording:
    whether all play together, or in overdubs. pitch_standard: hertz of A4.
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
    recording: str = ""
    pitch_standard: float | None = None
    path: Path | None = None

    @property
    def overdubbed(self) -> bool:
        """Whether the session records in passes one over the other."""
        return self.recording in ("overdubs", "overdub")

    def layers(self, profile: str, part: str, name: str) -> tuple[tuple[str, Mapping[str, Any]], ...]:
        """(origin, facet tables) to lay over a profile for one part, the stronger later: the session's way of recording, the
        ensemble's tables, then its player's."""
        found: list[tuple[str, Mapping[str, Any]]] = []
        if self.overdubbed:
            found.append((f"{NAME} recording", {SESSION: {"recording": "overdub"}}))
        if profile in self.ensemble:
            found.append((f"{NAME} ensemble", self.ensemble[profile]))
        keys = {_folded(part), _folded(name)} - {""}
        for player, item in self.players.items():
            if _folded(item.part) in keys and item.instrument in (None, profile):
                found.append((f"{NAME} players.{player}", item.tables))
                with_all = item.take == 1 and not self.overdubbed  # the first pass is that of all who play together
                if item.take and not with_all:
                    found.append((f"{NAME} players.{player}.pass", {SESSION: {"take": item.take}}))
        return tuple(found)

    def player_of(self, part: str, name: str, instrument: str | None = None) -> Player | None:
        """The player of a part, by its id or name; of several the one of this instrument, else the first."""
        keys = {_folded(part), _folded(name)} - {""}
        own = [player for player in self.players.values() if _folded(player.part) in keys]
        return next((player for player in own if player.instrument == instrument), own[0] if own else None)


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
    pitch_standard = _positive(table, "pitch_standard", where)
    roles = {name: _role(item, f"{where}roles.{name}") for name, item in _table(table, "roles", where).items()}
    players = {name: player(item, f"{where}players.{name}") for name, item in _table(table, "players", where).items()}
    return Config(
        parts=by_players(players) | _parts(_table(table, "parts", where), f"{where}parts"),
        hold_at=Grade(_choice(table.get("hold_at", "halt"), _GRADES, f"{where}hold_at")),
        marks=_marks(table.get("marks", "usual"), f"{where}marks"),
        grades=_grades(_table(table, "grades", where), f"{where}grades"),
        settings=with_session(_settings(_table(table, "settings", where), f"{where}settings"), roles, pitch_standard),
        accept=tuple(_accepted(item, f"{where}accept") for item in _list(table, "accept", where)),
        instruments=_paths(table, "instruments", path),
        plugins=_paths(table, "plugins", path),
        ensemble={key: _tables(item, f"{where}ensemble.{key}") for key, item in _table(table, "ensemble", where).items()},
        players=players,
        roles=roles,
        recording=_choice(table.get("recording", ""), ("", *RECORDINGS), f"{where}recording"),
        pitch_standard=pitch_standard,
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


def by_players(players: Mapping[str, Player]) -> dict[str, str]:
    """The instrument of each part that exactly one player has; a part with several keeps to what the file says."""
    parts = [_folded(player.part) for player in players.values()]
    alone = (player for player in players.values() if parts.count(_folded(player.part)) == 1)
    return {player.part: player.instrument for player in alone if player.instrument is not None}


_TEXTS = ("tablature", "key", "language", "name")
_PLAYER = ("part", "instrument", "doublings", "brings", "reads", "clef", "pass", *_TEXTS)


def player(item: Any, where: str) -> Player:
    """One player of a TOML table; the same in `xmlcheck.toml` and `handoff.toml`. Raises BadConfig."""
    table = _is_table(item, where)
    for key, value in table.items():
        if key not in _PLAYER and not isinstance(value, dict):
            near = nearest(key, _PLAYER) or f"; known keys: {', '.join(_PLAYER)}"
            raise BadConfig(f'{where}: unknown key "{key}"{near}; what is not listed is a table of a profile.')
    if "part" not in table:
        raise BadConfig(f'{where}: the key "part" is missing: the id or name of the part that is played.')
    brings = _is_table(table.get("brings", {}), f"{where}.brings")
    _known(brings, BRINGS, f"{where}.brings")
    take = table.get("pass", 0)
    if not isinstance(take, int) or isinstance(take, bool) or ("pass" in table and take < 1):
        raise BadConfig(f"{where}.pass: expected the number of a pass, from 1 on, found {take!r}.")
    return Player(
        part=_text(table["part"], f"{where}.part"),
        instrument=_text(table["instrument"], f"{where}.instrument") if "instrument" in table else None,
        tables={key: value for key, value in table.items() if key not in _PLAYER},
        doublings=_texts(table, "doublings", where),
        brings={key: _texts(brings, key, f"{where}.brings") for key in brings},
        reads=_choice(table["reads"], NOTATIONS, f"{where}.reads") if "reads" in table else "",
        clef=_clef(table["clef"], f"{where}.clef") if "clef" in table else "",
        take=take,
        **{key: _text(table[key], f"{where}.{key}") for key in _TEXTS if key in table},
    )


def _clef(item: Any, where: str) -> str:
    text = _text(item, where)
    _choice(text.removesuffix("-8").removesuffix("+8"), tuple(CLEFS), where)
    return text


def _texts(table: Mapping[str, Any], key: str, where: str) -> tuple[str, ...]:
    return tuple(_text(item, f"{where}.{key}") for item in _list(table, key, f"{where}."))


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


SESSION = "session"
"""The table of a profile that says how a player is recorded."""
PITCH_RULES = ("ensemble.pitch-standard", "ensemble.prelay-pitch")
"""The rules that ask at which pitch the session stands, by the setting `session_hz`."""


def _role(item: Any, where: str) -> Literal["played", "not-played"]:
    return "played" if _choice(item, ("played", "not-played"), where) == "played" else "not-played"


def with_session(
    settings: Mapping[str, Mapping[str, Any]], roles: Mapping[str, str], pitch_standard: float | None
) -> dict[str, Mapping[str, Any]]:
    """The settings, with the roles of parts and the pitch standard as those of the rules that know them."""
    found = dict(settings)
    if roles:
        own = dict(found.get(ROLE_RULE, {}))
        for key, role in (("parts", "not-played"), ("played", "played")):
            names = [str(own[key])] if own.get(key) else []
            own[key] = ", ".join([*names, *(name for name, given in roles.items() if given == role)])
        found[ROLE_RULE] = own
    for rule in PITCH_RULES if pitch_standard is not None else ():
        found[rule] = {**found.get(rule, {}), "session_hz": pitch_standard}
    return found


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


def _positive(table: Mapping[str, Any], key: str, where: str) -> float | None:
    item = table.get(key)
    if item is None:
        return None
    if isinstance(item, bool) or not isinstance(item, (int, float)) or not 0 < item < 1e6:
        raise BadConfig(f"{where}{key}: expected a positive number, found {item!r}.")
    return float(item)


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
