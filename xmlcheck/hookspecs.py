"""The hooks a plugin may answer. A folder of data answers all of them without any Python (see `registry.FolderPlugin`)."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pluggy

from xmlcheck.rule import Derived, Rule

GROUP = "xmlcheck"
hookspec = pluggy.HookspecMarker(GROUP)
hookimpl = pluggy.HookimplMarker(GROUP)


@hookspec
def xmlcheck_profiles() -> Iterable[Any]:  # type: ignore[empty-body]
    """Instruments: `registry.Offer` values, each a recognition entry with a way to load its tables."""


@hookspec
def xmlcheck_known() -> Iterable[Any]:  # type: ignore[empty-body]
    """`names.Known` values: instruments that are known and have no profile, kinds of sounds, names that several share."""


@hookspec
def xmlcheck_rules() -> Iterable[Rule]:  # type: ignore[empty-body]
    """Rules: a card joined with its function."""


@hookspec
def xmlcheck_facets() -> Iterable[type]:  # type: ignore[empty-body]
    """Facet types: frozen dataclasses with a `FACET` key."""


@hookspec
def xmlcheck_derived() -> Iterable[Derived]:  # type: ignore[empty-body]
    """Values computed once a chair, asked for by type."""


@hookspec(firstresult=True)
def xmlcheck_identify(name: str, sound: str) -> str | None:
    """The profile id for a part heading and sound id, for a house's own naming scheme; None to pass."""
