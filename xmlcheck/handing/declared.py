"""`handoff.toml`: what the orchestrator declares about the folder. Data only; an unknown key is an error with the nearest known.

Its keys: schemas/handoff-1.schema.json. All may be left out; what is not declared is inferred, and said.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import PurePosixPath
from typing import Any, Literal, cast

from xmlcheck.config import RECORDINGS, Config, Player, by_players, nearest, player, with_session
from xmlcheck.errors import BadConfig
from xmlcheck.handing.values import SCHEMA
from xmlcheck.partname import fold

NOT_PLAYED = "not-played"
ROLES = (NOT_PLAYED, "played")
RATES = (23.976, 24.0, 25.0, 29.97, 30.0, 48.0, 50.0, 59.94, 60.0)
"""Frames a second in use for picture: common practice, no source. Others are taken too."""
_TOP = (
    "schema", "title", "frame_rate", "tolerance", "pitch_standard", "naming", "recording", "parts", "cue", "players", "roles",
)  # fmt: skip
_CUE = (
    "number", "name", "title", "revision", "start", "length", "start_bar", "pre_roll", "tempo", "midi", "score", "parts", "hits",
)  # fmt: skip
_HIT = ("at", "bar", "beat", "name")


@dataclass(frozen=True, slots=True)
class Hit:
    """A point of the picture that the music meets. at: seconds from the start of the cue. bar, beat: where, if it is agreed."""

    at: float
    bar: str = ""
    beat: str = "1"
    name: str = ""


@dataclass(frozen=True, slots=True)
class Cue:
    """One declared cue. start: seconds in the picture. length: seconds. start_bar: the bar at the start, as its text.

    pre_roll: bars before it that are counted in. tempo: of its start, quarters a minute. midi, score: paths in the folder.
    """

    number: str = ""
    name: str = ""
    title: str = ""
    revision: str = ""
    start: float | None = None
    length: float | None = None
    start_bar: str = ""
    pre_roll: int = 0
    tempo: float | None = None
    midi: str = ""
    score: str = ""
    parts: tuple[str, ...] | None = None
    hits: tuple[Hit, ...] = ()


@dataclass(frozen=True, slots=True)
class Declared:
    """The whole declaration. tolerance: frames by which times may differ.

    players: by name, as in `xmlcheck.toml`.
    """

    title: str = ""
    frame_rate: float = 25.0
    tolerance: float = 1.0
    pitch_standard: float | None = None
    naming: str = ""
    recording: str = ""
    parts: tuple[str, ...] | None = None
    cues: tuple[Cue, ...] = ()
    players: Mapping[str, Player] = field(default_factory=dict)
    roles: Mapping[str, str] = field(default_factory=dict)

    def config(self, base: Config) -> Config:
        """The configuration of the checks: the base with what is declared over it."""
        roles = cast("Mapping[str, Literal['played', 'not-played']]", self.roles)
        return replace(
            base,
            players={**base.players, **self.players},
            parts={**base.parts, **by_players(self.players)},
            roles={**base.roles, **roles},
            settings=with_session(base.settings, self.roles, self.pitch_standard),
            recording=self.recording or base.recording,
            pitch_standard=self.pitch_standard or base.pitch_standard,
        )

    def players_of(self, part: str) -> dict[str, Player]:
        """The declared players of a part, by their names in the table."""
        return {name: one for name, one in self.players.items() if fold(one.part) == fold(part)}


def parse(data: bytes, where: str) -> Declared:
    """The declaration of a TOML file. Raises BadConfig."""
    try:
        table = tomllib.loads(data.decode("utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadConfig(f"{where}: not TOML in UTF-8 ({error}).") from None
    _known(table, _TOP, where)
    if table.get("schema", SCHEMA) != SCHEMA:
        raise BadConfig(f"{where}: schema is {table['schema']!r}; this version reads {SCHEMA!r}.")
    players = _of(table, "players", dict, {}, where)
    return Declared(
        title=_of(table, "title", str, "", where),
        frame_rate=_positive(table, "frame_rate", where) or 25.0,
        tolerance=_positive(table, "tolerance", where) or 1.0,
        pitch_standard=_positive(table, "pitch_standard", where),
        naming=_of(table, "naming", str, "", where),
        recording=_choice(table, "recording", RECORDINGS, where),
        parts=_texts(table, "parts", where) if "parts" in table else None,
        cues=tuple(_cue(item, f"{where}: cue {n}") for n, item in enumerate(_of(table, "cue", list, [], where), 1)),
        players={name: player(item, f"{where}: players.{name}") for name, item in players.items()},
        roles={
            key: _choice({"role": item}, "role", ROLES, f"{where}: roles.{key}")
            for key, item in _of(table, "roles", dict, {}, where).items()
        },
    )


def _known(table: Mapping[str, Any], keys: tuple[str, ...], where: str) -> None:
    for key in table:
        if key not in keys:
            raise BadConfig(f'{where}: unknown key "{key}"{nearest(key, keys) or "; known keys: " + ", ".join(keys)}.')


def _is(item: Any, kind: type | tuple[type, ...], where: str) -> Any:
    if not isinstance(item, kind) or (isinstance(item, bool) and kind is not bool):
        raise BadConfig(f"{where}: {item!r} is of the wrong kind.")
    return item


def _of(table: Mapping[str, Any], key: str, kind: type | tuple[type, ...], default: Any, where: str) -> Any:
    return _is(table[key], kind, f"{where}: {key}") if key in table else default


def _positive(table: Mapping[str, Any], key: str, where: str) -> float | None:
    value = _of(table, key, (int, float), None, where)
    if value is not None and not 0 < value < 1e6:
        raise BadConfig(f"{where}: {key}: {value!r} is no positive number.")
    return None if value is None else float(value)


def _choice(table: Mapping[str, Any], key: str, words: tuple[str, ...], where: str) -> str:
    value = _of(table, key, str, "", where)
    if value and value not in words:
        raise BadConfig(f"{where}: {key} is {value!r}, which is none of {', '.join(words)}{nearest(value, words)}.")
    return str(value)


def _texts(table: Mapping[str, Any], key: str, where: str) -> tuple[str, ...]:
    return tuple(_is(item, str, f"{where}: {key}") for item in _of(table, key, list, [], where))


def _cue(item: Any, where: str) -> Cue:
    table = _is(item, dict, where)
    _known(table, _CUE, where)
    if not (table.get("number") or table.get("name")):
        raise BadConfig(f'{where}: a cue needs the key "number" or "name".')
    rate = _of(table, "start", (int, float, str), None, where)
    texts = {key: _of(table, key, str, "", where) for key in ("number", "name", "title", "revision", "midi", "score")}
    for key in ("midi", "score"):
        if ".." in PurePosixPath(texts[key]).parts:
            raise BadConfig(f"{where}: {key}: {texts[key]!r} lies outside the folder.")
    return Cue(
        **texts,
        start=clock(rate, f"{where}: start"),
        length=_positive(table, "length", where),
        start_bar=str(_of(table, "start_bar", (str, int), "", where)),
        pre_roll=_of(table, "pre_roll", int, 0, where),
        tempo=_positive(table, "tempo", where),
        parts=_texts(table, "parts", where) if "parts" in table else None,
        hits=tuple(_hit(one, f"{where}: hits") for one in _of(table, "hits", list, [], where)),
    )


def _hit(item: Any, where: str) -> Hit:
    table = _is(item, dict, where)
    _known(table, _HIT, where)
    at = clock(table.get("at"), f"{where}: at")
    if at is None:
        raise BadConfig(f'{where}: the key "at" is missing: seconds from the start of the cue.')
    bar, beat = (str(_of(table, key, (str, int), default, where)) for key, default in (("bar", ""), ("beat", "1")))
    return Hit(at, bar, beat, _of(table, "name", str, "", where))


def clock(value: Any, where: str, rate: float = 25.0) -> float | None:
    """Seconds of a number, of `m:ss.s` or `h:mm:ss`, or of `hh:mm:ss:ff` with frames at the rate. Raises BadConfig."""
    if value is None or isinstance(value, (int, float)):
        return None if value is None else float(value)
    try:
        pieces = [float(piece) for piece in str(value).split(":")]
    except ValueError:
        pieces = []
    if not 1 <= len(pieces) <= 4 or any(piece < 0 for piece in pieces):
        raise BadConfig(f"{where}: {value!r} is no time such as 12.5, 1:04.2 or 01:00:10:00.")
    frames = pieces.pop() / rate if len(pieces) == 4 else 0.0
    seconds = 0.0
    for piece in pieces:
        seconds = seconds * 60 + piece
    return seconds + frames
