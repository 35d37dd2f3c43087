"""A new instrument: a profile with a blank for every value, and two cases. Nothing in it is invented."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from xmlcheck import schemas
from xmlcheck.authoring import skeleton
from xmlcheck.authoring.blanks import LIST, TEXT
from xmlcheck.authoring.folders import beginnings, slug, template, untaken
from xmlcheck.config import nearest
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import UNIVERSAL
from xmlcheck.registry import Registry

_ASKED = ("family", "tradition", "mechanism", "aliases")
_OFFERED = ("abbreviations", "sound_ids", "programs", "key_names")


def skeletons(name: str, folder: Path, registry: Registry, like: str | None, tables: Iterable[str]) -> dict[Path, bytes]:
    """The files of a new instrument, not yet written, by path. like: id of an installed sibling. tables: facet keys to add.

    Raises BadPlugin where the id is taken, a file is there already, or a table has no owner.
    """
    id = slug(name)
    if id in registry.offers:
        raise BadPlugin(f"{registry.offers[id].entry.plugin} has an instrument {id!r} already; give yours another name.")
    profile = folder / "profiles" / f"{id}.toml"
    texts = {
        profile: "\n".join(_profile(name.strip(), id, folder, registry, like, tuple(tables))) + "\n",
        folder / "cases" / id / "cases.toml": template("instrument-cases", name=name.strip(), id=id),
    }
    return untaken({**beginnings(folder), **texts})


def _profile(name: str, id: str, folder: Path, registry: Registry, like: str | None, tables: tuple[str, ...]) -> Iterator[str]:
    sibling = registry.offers[like].table() if like is not None else {}
    schema = schemas.load("profile-1")["properties"]
    yield from template("profile", name=name, folder=str(folder)).splitlines()
    yield 'schema = "profile-1"'
    yield f'id = "{id}"'
    if "extends" in sibling:
        yield from skeleton.remark(schema["extends"]["description"])
        yield f"extends = {json.dumps(sibling['extends'])}"
    for key in (*_ASKED, *_OFFERED):
        yield from skeleton.remark(schema[key]["description"])
        yield f"{skeleton.OFF if key in _OFFERED else ''}{key} = {LIST if schema[key]['type'] == 'array' else TEXT}"
    yield ""
    yield from skeleton.remark(schema["names"]["description"])
    yield "[names]"
    yield f"en = {json.dumps(name, ensure_ascii=False)}"
    instruments = {kind.FACET: kind.FACET in schema for kind in UNIVERSAL}  # type: ignore[attr-defined]
    keys = _keys(registry, sibling, tables, [key for key, own in instruments.items() if own])
    for key in keys:
        own = sibling.get(key, {})
        meanings = {item: text.get("description", "") for item, text in schema.get(key, {}).get("properties", {}).items()}
        shown = {item: f"{like}: {_short(value)}" for item, value in own.items()}
        yield ""
        yield from skeleton.table(registry.facets[key], meanings, tuple(own), shown)
    yield ""
    yield from _others(registry, {*keys, *instruments})
    yield from skeleton.remark(f"{schema['cautions']['description']} One block for each.")
    yield from ("#[[cautions]]", f"#text = {TEXT}", f"#cite = {LIST}", f"#certainty = {TEXT}")
    yield ""
    yield from skeleton.remark(schema["sources"]["description"])
    yield from ("[sources]", f"S1 = {TEXT}", '#M = "from memory, unchecked"')


def _keys(
    registry: Registry, sibling: Mapping[str, Any], tables: tuple[str, ...], universal: Collection[str]
) -> tuple[str, ...]:
    """The facets that are asked for: the universal ones that instruments have, or a sibling's own, and those that were named."""
    unknown = next((key for key in tables if key not in registry.facets), None)
    if unknown is not None:
        raise BadPlugin(f"No installed plugin owns a table [{unknown}]{nearest(unknown, sorted(registry.facets))}.")
    own = [key for key in sibling if key in registry.facets] if sibling else list(universal)
    first = [key for key in universal if key in own]
    return tuple(dict.fromkeys((*first, *own, *tables)))


def _others(registry: Registry, keys: Collection[str]) -> Iterator[str]:
    """The tables that the skeleton leaves out, one line each."""
    left = [key for key in sorted(registry.facets) if key not in keys]
    if left:
        yield from skeleton.remark(
            "Tables that other instruments have. To get one as a skeleton: --table NAME, or --like INSTRUMENT."
        )
        for key in left:
            about = " ".join((registry.facets[key].__doc__ or "").split())
            yield from skeleton.remark(f"[{key}] {about.partition('. ')[0].rstrip('.')}.")
        yield ""


def _short(value: Any) -> str:
    """What a sibling has, without its sources: they are not yours."""
    if isinstance(value, Mapping) and "value" in value:
        return json.dumps(value["value"], ensure_ascii=False)
    if isinstance(value, list):
        return ", ".join(
            str(item.get("id", item.get("title", "…"))) if isinstance(item, Mapping) else str(item) for item in value
        )
    return json.dumps(value, ensure_ascii=False, default=str)
