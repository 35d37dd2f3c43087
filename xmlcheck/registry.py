"""Everything the plugins bring, as one value that is passed in: profiles on offer, rules, facet types, derived values.

A broken plugin becomes a notice with its name, version and cause, and the run goes on. Python is taken from installed
distributions and from folders named explicitly; a folder or file found through a configuration file gives data only.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from importlib import resources
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pluggy

from xmlcheck import hookspecs, profile
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import UNIVERSAL
from xmlcheck.folder import FolderPlugin, Offer, offer
from xmlcheck.hookspecs import GROUP
from xmlcheck.identify import Entry, Known, Names
from xmlcheck.profile import Profile
from xmlcheck.rule import Derived, Rule


@dataclass(frozen=True, slots=True)
class PluginInfo:
    """One plugin: its name, version, how much it brings, and a mark of its data that changes when they do."""

    name: str
    version: str
    profiles: int
    rules: int
    mark: str = ""


@dataclass(frozen=True)
class Registry:
    """What is installed. profile() builds an instrument on first need; layers of a run are merged in by the caller."""

    plugins: tuple[PluginInfo, ...]
    offers: Mapping[str, Offer]
    rules: tuple[Rule, ...]
    facets: Mapping[str, type]
    derived: Mapping[Any, Derived]
    names: Names
    hooks: Any
    notices: tuple[str, ...] = ()
    _tables: dict[str, dict[str, Any]] = field(default_factory=dict, init=False, repr=False, compare=False)
    _built: dict[str, Profile] = field(default_factory=dict, init=False, repr=False, compare=False)

    def rule(self, id: str) -> Rule | None:
        """The rule of this id."""
        return next((rule for rule in self.rules if rule.id == id), None)

    def profile(self, id: str, layers: Iterable[tuple[str, Mapping[str, Any]]] = ()) -> Profile:
        """The instrument `id`: its family's tables, its own, then `layers` as (origin, tables). Raises BadPlugin.

        Read and built once, for a library of scores asks for the same few; what layers change is built each time.
        """
        over = tuple(layers)
        if over:
            return self._build(id, over)
        if id not in self._built:
            self._built[id] = self._build(id, ())
        return self._built[id]

    def _build(self, id: str, layers: Iterable[tuple[str, Mapping[str, Any]]]) -> Profile:
        chain: list[tuple[str, dict[str, Any]]] = []
        wanted: str | None = id
        while wanted is not None:
            found = self.offers.get(wanted)
            if found is None or any(name == wanted for name, _ in chain):
                raise BadPlugin(f"Profile {id!r} extends {wanted!r}, which no installed plugin has (or which extends it back).")
            if wanted not in self._tables:
                self._tables[wanted] = found.table()
            table = self._tables[wanted]
            chain.append((wanted, table))
            wanted = table.get("extends")
        table = {}
        for origin, layer in [*reversed(chain), *layers]:
            table = profile.merged(table, layer, origin if origin != id else "")
        plugin = self.offers[id].entry.plugin
        return profile.build(table, self.facets, plugin, f"{plugin}: {id}")


def relatives(registry: Registry) -> Callable[[Profile], tuple[Profile, ...]]:
    """Finds the other members of a profile's family and tradition; each family is read once. A broken one is passed over."""
    kept: dict[tuple[str, str], tuple[Profile, ...]] = {}

    def members(family: str, tradition: str) -> Iterator[Profile]:
        for id, entry in sorted(registry.names.entries.items()):
            if (entry.family, entry.tradition) == (family, tradition):
                with suppress(BadPlugin):
                    yield registry.profile(id)

    def of(profile: Profile) -> tuple[Profile, ...]:
        key = (profile.family, profile.tradition)
        if key not in kept:
            kept[key] = tuple(members(*key)) if profile.family else ()
        return tuple(item for item in kept[key] if item.id != profile.id)

    return of


def discover(folders: Iterable[Path] = (), data: Iterable[Path] = (), blocked: frozenset[str] = frozenset()) -> Registry:
    """The registry of all installed plugins.

    folders: plugin folders named explicitly (their Python is used). data: profile files and plugin folders that only give data.
    blocked: names of plugins to leave out. Raises BadPlugin for two profiles of one id and for explicit folders that are broken.
    """
    manager = pluggy.PluginManager(GROUP)
    manager.add_hookspecs(hookspecs)
    notices: list[str] = []
    singles: list[Offer] = []
    for point in sorted(entry_points(group=GROUP), key=lambda point: point.name):
        if point.name in blocked or manager.has_plugin(point.name):
            continue
        try:
            manager.register(_load(point, manager), point.name)
        except (Exception, SystemExit) as error:  # any plugin may be broken in any way; it must not stop the run
            notices.append(_blame(point, error))
    for folder in folders:
        parent = str(folder.resolve().parent)
        if parent not in sys.path:
            sys.path.insert(0, parent)
        if not folder.is_dir():
            raise BadPlugin(f"{folder}: no such plugin folder.")
        if manager.has_plugin(folder.name):  # the folder named takes the place of the installed plugin
            manager.unregister(name=folder.name)
        manager.register(FolderPlugin(folder, folder.name, folder.name), folder.name)
    for path in data:
        if path.is_dir():
            manager.register(FolderPlugin(path, path.name, None), path.name)
        elif path.is_file():
            singles.append(offer(path, path.name))
        else:
            raise BadPlugin(f"{path}: no such instrument file or folder.")
    return _collect(manager, singles, notices)


def _load(point: EntryPoint, manager: pluggy.PluginManager) -> Any:
    """The plugin of an entry point: the module itself where it has hook functions, else the folder it names."""
    module = point.load()
    hooks = [name for name in dir(module) if not name.startswith("__") and manager.parse_hookimpl_opts(module, name)]
    unknown = next((name for name in hooks if not hasattr(hookspecs, name)), None)
    if unknown is not None:
        raise BadPlugin(f"there is no hook {unknown}.")
    if hooks:
        return module
    return FolderPlugin(resources.files(module), point.name, point.value)


def _collect(manager: pluggy.PluginManager, singles: list[Offer], notices: list[str]) -> Registry:
    facets: dict[str, type] = {kind.FACET: kind for kind in UNIVERSAL}  # type: ignore[attr-defined]
    derived: dict[Any, Derived] = {}
    offers: dict[str, Offer] = {}
    rules: dict[str, Rule] = {}
    infos = []
    known: list[Known] = []
    for name, plugin in sorted(manager.list_name_plugin()):
        if plugin is None:
            continue
        version = getattr(plugin, "version", getattr(plugin, "__version__", "0"))
        try:
            brought = _answers(plugin)
        except (Exception, SystemExit) as error:  # blamed and left out as a whole: half a plugin would check half the rules
            notices.append(f"Plugin {name} {version} is left out: {type(error).__name__}: {error}")
            continue
        for kind in brought["facets"]:
            if kind.FACET in facets and facets[kind.FACET] is not kind:
                raise BadPlugin(f"Plugin {name} {version} brings the facet {kind.FACET!r}, which another plugin owns.")
            facets[kind.FACET] = kind
        for item in brought["profiles"]:
            _add(offers, item)
        for rule in brought["rules"]:
            if rule.id in rules:
                raise BadPlugin(
                    f"Plugins {rules[rule.id].card.plugin} and {name} both bring the rule {rule.id!r}; leave one out."
                )
            rules[rule.id] = rule
        derived |= {item.kind: item for item in brought["derived"]}
        known += brought["known"]
        infos.append(
            PluginInfo(name, str(version), len(brought["profiles"]), len(brought["rules"]), getattr(plugin, "mark", ""))
        )
    for item in singles:
        _add(offers, item)
    entries = [item.entry for item in offers.values() if not item.abstract]
    ordered = tuple(rules[key] for key in sorted(rules))
    frozen = (MappingProxyType(offers), ordered, MappingProxyType(facets), MappingProxyType(derived))
    return Registry(tuple(infos), *frozen, Names(entries, known), manager.hook, tuple(notices))


_KINDS = {"profiles": Offer, "rules": Rule, "facets": type, "derived": Derived, "known": Known}
"""Hook to the kind of its answers."""


def _answers(plugin: Any) -> dict[str, list[Any]]:
    """What a plugin brings, hook by hook. Raises BadPlugin for an answer of another kind; what the hooks raise goes through."""
    brought: dict[str, list[Any]] = {}
    for name, kind in _KINDS.items():
        brought[name] = list(getattr(plugin, f"xmlcheck_{name}", list)())
        for item in brought[name]:
            if not isinstance(item, kind) or (kind is type and not hasattr(item, "FACET")):
                raise BadPlugin(f"xmlcheck_{name} gives {item!r}, which is no {'facet' if kind is type else kind.__name__}.")
    return brought


def _add(offers: dict[str, Offer], item: Offer) -> None:
    entry: Entry = item.entry
    other = offers.get(entry.id)
    if other is not None:
        raise BadPlugin(f"{other.entry.plugin} and {entry.plugin} both bring a profile {entry.id!r}; rename or leave out one.")
    offers[entry.id] = item


def _blame(point: EntryPoint, error: BaseException) -> str:
    distribution = point.dist
    version = f" {distribution.version}" if distribution is not None else ""
    return f"Plugin {point.name}{version} is left out: {type(error).__name__}: {error}"
