"""What players bring, as tables over the profile: the keys, sizes and tunings that are there, and values in their own words.

The profile's records that a player does not bring are taken out, so that rules and plans choose among what is in the room. A
plain value in a player's table (`breath = { middle = 6 }`) is that player's word.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, get_args, get_origin, get_type_hints

from xmlcheck.cited import Cited
from xmlcheck.config import Config, Player, nearest
from xmlcheck.errors import BadConfig
from xmlcheck.facts.words import folded
from xmlcheck.registry import Registry

_RECORDS = {
    ("sizes", "carried"): ("key or size", ("keys", "sizes")),
    ("string_set", "tunings"): ("tuning", ("tunings",)),
    ("strings", "tunings"): ("tuning", ("tunings",)),
}
"""Where a profile keeps what players bring (table, and list of records with id, title, key, words), and what it is called."""


def brought(config: Config, registry: Registry) -> tuple[Config, tuple[str, ...]]:
    """The configuration with its players' tables completed, and notices for what a profile does not know.

    Done again it changes nothing. Raises BadConfig for a table or key that no profile has, naming the nearest.
    """
    notices: list[str] = []
    players = {}
    for name, player in config.players.items():
        where = f"{config.path or 'players'}: players.{name}"
        tables = _cited(player.tables, registry, where)
        if player.brings:
            tables = _with(tables, _records(player, registry, notices))
        players[name] = replace(player, tables=tables)
    return replace(config, players=players), tuple(notices)


def _cited(tables: Mapping[str, Mapping[str, Any]], registry: Registry, where: str) -> dict[str, Mapping[str, Any]]:
    """The tables with plain values as the player's word. A list of records is left as it is."""
    found: dict[str, Mapping[str, Any]] = {}
    for key, table in tables.items():
        kind = registry.facets.get(key)
        if kind is None:
            near = nearest(key, registry.facets)
            if near:
                raise BadConfig(f'{where}: no table of a profile is called "{key}"{near}.')
            found[key] = table  # of a plugin that is not installed: told by the check
            continue
        hints = {name: hint for name, hint in get_type_hints(kind).items() if name != "FACET"}
        for name in table:
            if name not in hints:
                known = f"; known keys: {', '.join(hints)}"
                raise BadConfig(f'{where}.{key}: unknown key "{name}"{nearest(name, hints) or known}.')
        found[key] = {name: _word(hints[name], value) for name, value in table.items()}
    return found


def _word(hint: Any, value: Any) -> Any:
    kinds = (hint, *getattr(hint, "__args__", ()))
    if isinstance(value, Mapping) or not any(get_origin(kind) is Cited for kind in kinds):
        return value
    return {"value": value, "certainty": "player"}


def _records(player: Player, registry: Registry, notices: list[str]) -> dict[str, dict[str, Any]]:
    """For each list of records: those not brought dropped, the first brought the usual one."""
    where = f"The player of {player.part}"  # no name: it may be left out of all outputs
    if player.instrument is None:
        notices.append(f"{where}: what is brought is passed over, because no instrument is named.")
        return {}
    tables = registry.profile(player.instrument).tables
    found: dict[str, dict[str, Any]] = {}
    for (table, key), (noun, kinds) in _RECORDS.items():
        records = tables.get(table, {}).get(key, ())
        kept = []
        for text in (text for kind in kinds for text in player.brings.get(kind, ()) if records):
            mine = next((one for one in records if folded(text) in _names(one)), None)
            if mine is not None:
                kept.append(mine)
                continue
            near = nearest(text, [name for one in records for name in _names(one)])
            notices.append(
                f'{where} brings what is not known: {player.instrument} has no {noun} called "{text}"{near}; it is passed over.'
            )
        if kept:
            found.setdefault(table, {})[key] = list(
                _only(records, kept, "usual" in get_type_hints(_kind(registry, table, key)))
            )
    return found


def _kind(registry: Registry, table: str, key: str) -> Any:
    """The type of the records in a list of a facet: `tuple[Size, ...]` gives `Size`."""
    return get_args(get_type_hints(registry.facets[table])[key])[0]


def _only(records: Sequence[Mapping[str, Any]], kept: Sequence[Mapping[str, Any]], has_usual: bool) -> Iterator[dict[str, Any]]:
    for one in records:
        if not any(one is item for item in kept):
            yield {"id": one["id"], "drop": True}
            continue
        here = {**one, "usual": one is kept[0]} if has_usual else dict(one)
        here.pop("ordered", None)  # what is brought need not be ordered
        yield here


def _names(record: Mapping[str, Any]) -> set[str]:
    names = (record["id"], record.get("title", ""), record.get("key", ""), *record.get("words", ()))
    return {folded(name) for name in names if name}


def _with(tables: dict[str, Mapping[str, Any]], more: Mapping[str, dict[str, Any]]) -> dict[str, Mapping[str, Any]]:
    return {**tables, **{key: {**tables.get(key, {}), **value} for key, value in more.items()}}
