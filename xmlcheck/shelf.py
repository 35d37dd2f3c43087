"""What the plugins have on offer: their instruments, built on first need; and what their rules are about, told without them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from xmlcheck import profile
from xmlcheck.entry import Entry, Known
from xmlcheck.errors import BadPlugin
from xmlcheck.folder import Offer
from xmlcheck.profile import Profile
from xmlcheck.rule import Card

if TYPE_CHECKING:
    from xmlcheck.names import Names


@dataclass(frozen=True)
class Shelf:
    """Instruments on offer and the types of their facets. profile() builds one; layers of a run are merged in by the caller."""

    offers: Mapping[str, Offer]
    facets: Mapping[str, type]
    _tables: dict[str, dict[str, Any]] = field(default_factory=dict, init=False, repr=False, compare=False)
    _built: dict[str, Profile] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def entries(self) -> dict[str, Entry]:
        """What each instrument answers to, by its id; bases for others left out."""
        return {id: offer.entry for id, offer in self.offers.items() if not offer.abstract}

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


@dataclass(frozen=True, slots=True)
class Asked:
    """What a rule is about: its card, and the keys of the facets without which it does not run."""

    card: Card
    facets: frozenset[str]


@dataclass(frozen=True)
class Catalogue(Shelf):
    """The shelf, what is known beside it, and what each rule asks for, sorted by its id: enough for pages, not for a check."""

    known: tuple[Known, ...]
    asked: tuple[Asked, ...]

    @cached_property
    def names(self) -> Names:
        """All names that are answered to; filed when something is asked for by another word than its id."""
        from xmlcheck.names import Names  # patterns of headings in many languages take a while to prepare

        return Names(self.entries.values(), self.known)
