"""Everything the plugins bring, as one value that is passed in: profiles on offer, rules, facet types, derived values.

A broken plugin becomes a notice with its name, version and cause, and the run goes on. Python is taken from installed
distributions and from folders named explicitly; a folder or file found through a configuration file gives data only.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from importlib import resources
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import pluggy

from xmlcheck import hookspecs
from xmlcheck.entry import Entry, Known
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import UNIVERSAL
from xmlcheck.folder import FolderPlugin, Offer, offer
from xmlcheck.hookspecs import GROUP
from xmlcheck.memory import collector_at_rest
from xmlcheck.profile import Profile
from xmlcheck.rule import Card, Derived, Rule, facets_behind, required, requirements
from xmlcheck.shelf import Asked, Catalogue, Shelf

if TYPE_CHECKING:
    from xmlcheck.names import Names


@dataclass(frozen=True, slots=True)
class PluginInfo:
    """One plugin: its name, version, how much it brings, and a mark of its data that changes when they do."""

    name: str
    version: str
    profiles: int
    rules: int
    mark: str = ""


@dataclass(frozen=True)
class Registry(Shelf):
    """What is installed, ready for a check."""

    plugins: tuple[PluginInfo, ...]
    rules: tuple[Rule, ...]
    derived: Mapping[Any, Derived]
    names: Names
    hooks: Any
    notices: tuple[str, ...] = ()

    def rule(self, id: str) -> Rule | None:
        """The rule of this id."""
        return next((rule for rule in self.rules if rule.id == id), None)

    @property
    def asked(self) -> tuple[Asked, ...]:
        """What each rule is about."""
        derived = requirements(self.derived.values())
        return tuple(Asked(rule.card, facets_behind(required(rule.needs), derived)) for rule in self.rules)


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
    with collector_at_rest():  # modules and cards are kept
        return _collect(*_registered(folders, data, blocked))


def catalogue(folders: Iterable[Path] = (), data: Iterable[Path] = ()) -> Catalogue:
    """What all installed plugins have on offer. No rule of a plugin with a fresh index is imported; facet types are when needed.

    A plugin whose Python cannot be imported is left out where that comes to light. Folders, data, errors: as of `discover`.
    """
    manager, singles, _ = _registered(folders, data, frozenset())
    offers: dict[str, Offer] = {}
    facets: dict[str, type | FolderPlugin] = {kind.FACET: kind for kind in UNIVERSAL}  # type: ignore[attr-defined]
    derived: dict[str, list[str]] = {}
    asks: list[tuple[Card, list[str]]] = []
    known: list[Known] = []
    for _, plugin in sorted(manager.list_name_plugin()):
        if plugin is None:
            continue
        try:
            told = _told(plugin)
        except (Exception, SystemExit):  # as in a check, which says why
            continue
        for item in told.profiles:
            _add(offers, item)
        facets |= told.facets
        derived |= told.derived
        asks += told.rules
        known += told.known
    for item in singles:
        _add(offers, item)
    asked = (Asked(card, facets_behind(names, derived)) for card, names in sorted(asks, key=lambda ask: ask[0].id))
    return Catalogue(MappingProxyType(offers), _Facets(facets), tuple(known), tuple(asked))


@dataclass(frozen=True, slots=True)
class _Told:
    """What a plugin has on offer: profiles, names, facet types or who imports them, and what its rules and derived values require."""

    profiles: Iterable[Offer]
    known: Iterable[Known]
    facets: Mapping[str, type | FolderPlugin]
    derived: Mapping[str, list[str]]
    rules: Iterable[tuple[Card, list[str]]]


def _told(plugin: Any) -> _Told:
    if isinstance(plugin, FolderPlugin):
        python = plugin.python()
        return _Told(
            plugin.xmlcheck_profiles(),
            plugin.xmlcheck_known(),
            dict.fromkeys(python["facets"], plugin),
            python["derived"],
            [(card, python["rules"][card.id]) for card in plugin.cards()],
        )
    brought = _answers(plugin)
    return _Told(
        brought["profiles"],
        brought["known"],
        {kind.FACET: kind for kind in brought["facets"]},
        requirements(brought["derived"]),
        [(rule.card, required(rule.needs)) for rule in brought["rules"]],
    )


class _Facets(Mapping[str, type]):
    """Facet types by key. Those of a plugin folder are imported when one of them is asked for; raises BadPlugin where that fails."""

    def __init__(self, owners: dict[str, type | FolderPlugin]) -> None:
        self._owners = owners

    def __getitem__(self, key: str) -> type:
        owner = self._owners[key]
        if isinstance(owner, type):
            return owner
        try:
            kinds = {kind.FACET: kind for kind in owner.xmlcheck_facets()}  # type: ignore[attr-defined]
        except (Exception, SystemExit) as error:  # its Python may break in any way
            raise BadPlugin(f"Plugin {owner.name} {owner.version}: {type(error).__name__}: {error}") from error
        self._owners |= kinds
        return kinds[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._owners)

    def __len__(self) -> int:
        return len(self._owners)


def _registered(
    folders: Iterable[Path], data: Iterable[Path], blocked: frozenset[str]
) -> tuple[pluggy.PluginManager, list[Offer], list[str]]:
    """All plugins by name, the offers of single files, and notices of plugins that could not be loaded."""
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
    return manager, singles, notices


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
    from xmlcheck.names import Names  # see Catalogue.names

    return Registry(
        offers=MappingProxyType(offers),
        facets=MappingProxyType(facets),
        plugins=tuple(infos),
        rules=tuple(rules[key] for key in sorted(rules)),
        derived=MappingProxyType(derived),
        names=Names([item.entry for item in offers.values() if not item.abstract], known),
        hooks=manager.hook,
        notices=tuple(notices),
    )


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
