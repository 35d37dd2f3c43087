"""Second look at the instruments of a plugin folder: do they become facets, and does every value say who says so?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

from xmlcheck.authoring.blanks import Path as Way
from xmlcheck.authoring.blanks import told
from xmlcheck.authoring.faults import Fault, at, worded
from xmlcheck.authoring.texts import table
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import Compass, Reading
from xmlcheck.partname import fold
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry

MEMORY = frozenset({"M", "MEM"})
"""Source keys that say: from memory."""
WORKED_OUT = frozenset({"D", "DER"})
"""Source keys that say: worked out from the sources named beside them."""


def faults(path: Path, registry: Registry, others: Registry) -> Iterator[Fault]:
    """What is amiss with one profile. others: all that is installed but this folder."""
    data = table(path)
    id = str(data["id"])
    if id in others.offers:
        yield at(path, ("id",), f"{others.offers[id].entry.plugin} has an instrument {id!r} already; give this one another id.")
        return
    try:
        profile = registry.profile(id)
    except BadPlugin as error:
        yield worded(path, str(error))
        return
    for key in profile.unowned:
        if key in data:
            yield at(path, (key,), f"[{key}] is kept and used by nothing: no installed plugin owns this table.", remark=True)
    yield from _order(path, profile)
    yield from _sources(path, data, profile.sources)
    if not data.get("abstract"):  # a family base matches no part
        yield from _shared(path, data, others)


def _order(path: Path, profile: Profile) -> Iterator[Fault]:
    """Ends that lie the wrong way round, readings without a usual one."""
    compass = profile.get(Compass)
    if compass is not None:
        ends = ("lowest", "comfortable_lowest", "comfortable_highest", "highest")
        given = [(name, end.value) for name in ends if (end := getattr(compass, name)) is not None]
        for (low, one), (high, other) in pairwise(given):
            if one.cents > other.cents:
                yield at(path, ("compass", high), f"[compass]: {high}, {other}, lies below {low}, {one}.")
    reading = profile.get(Reading)
    if reading is not None and [item.usual for item in reading.conventions].count(True) != 1:
        yield at(path, ("reading",), "[reading]: one of the conventions, and one alone, is the usual one (usual = true).")


def _sources(path: Path, data: Mapping[str, Any], known: Mapping[str, str]) -> Iterator[Fault]:
    """Keys that lead nowhere, values surer than their sources, sources that nothing rests on."""
    used: set[str] = set()
    for way, item in _vouched(data):
        cite, certainty = set(item.get("cite", ())), item.get("certainty", "memory")
        used |= cite
        for key in sorted(cite - known.keys()):
            yield at(path, (*way, "cite"), f"{told(way)}: cites {key!r}, which [sources] does not list.")
        if not cite - WORKED_OUT:
            yield at(path, way, f"{told(way)}: cites no source.")
        if certainty in ("documented", "player") and cite & MEMORY:
            yield at(
                path, way, f"{told(way)}: is called {certainty} and rests on memory; a value counts as its weakest source."
            )
        if certainty == "conflicting" and not item.get("note"):
            yield at(path, way, f"{told(way)}: the sources disagree, and no note keeps both values.")
    if not data.get("abstract"):
        for key in sorted(set(data.get("sources", ())) - used):
            yield at(path, ("sources", key), f"[sources], {key}: nothing cites it; take it out, or cite it where it is used.")


def _vouched(value: Any, way: Way = ()) -> Iterator[tuple[Way, Mapping[str, Any]]]:
    """Every table that carries sources."""
    if isinstance(value, Mapping):
        if "certainty" in value or "cite" in value:
            yield way, value
        for key, item in value.items():
            yield from _vouched(item, (*way, key))
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from _vouched(item, (*way, number))


def _shared(path: Path, data: Mapping[str, Any], others: Registry) -> Iterator[Fault]:
    """Headings to which another instrument answers too: recognition then asks, and never picks one."""
    owners: dict[str, str] = {}
    for entry in others.names.entries.values():
        for text in (*entry.names.values(), *entry.aliases, *entry.abbreviations):
            owners.setdefault(fold(text), entry.id)
    named: list[tuple[Way, str]] = [(("names", key), text) for key, text in data.get("names", {}).items()]
    named += [((key,), text) for key in ("aliases", "abbreviations") for text in data.get(key, ())]
    for way, text in named:
        other = owners.get(fold(text))
        if other is not None:
            yield at(path, way, f"{text!r} is a name of {other} too: a part with this heading is asked about.", remark=True)
