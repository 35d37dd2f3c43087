"""Everything that can be said of a plugin folder before it is used or shipped, each with its file and line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from xmlcheck.authoring import profiles, requires, rules, texts
from xmlcheck.authoring.faults import Fault
from xmlcheck.authoring.folders import PLUGIN
from xmlcheck.authoring.generated import generated, installed
from xmlcheck.errors import BadPlugin
from xmlcheck.folder import INDEX
from xmlcheck.registry import Registry, discover


@dataclass(frozen=True, slots=True)
class Answer:
    """What was found, and how much was looked at. cases: None where they were left out or could not be tried."""

    faults: tuple[Fault, ...]
    profiles: int
    rules: int
    cases: int | None

    @property
    def sound(self) -> bool:
        """Whether nothing is amiss; remarks aside."""
        return all(fault.remark for fault in self.faults)


def check(folder: Path, with_cases: bool = True) -> Answer:
    """Looks at a plugin folder: files and schemas, then instruments, rules and what is generated, then the cases.

    Each look is taken where the one before found nothing amiss. The folder's Python is run. Raises BadPlugin where there is no
    such folder.
    """
    if not folder.is_dir():
        raise BadPlugin(f"{folder}: no such plugin folder.")
    kinds = [schema for _, schema in texts.documents(folder)]
    counts = (kinds.count("profile-1"), kinds.count("rule-1"))
    found = list(texts.faults(folder)) or list(rules.python(folder))
    if found:
        return Answer(tuple(found), *counts, None)
    others = discover(blocked=frozenset({folder.resolve().name}))
    found = list(_parts(folder, _with(folder, others), others))
    if any(not fault.remark for fault in found) or not with_cases:
        return Answer(tuple(found), *counts, None)
    registry = discover([folder])
    files = texts.case_files(folder)
    found += [fault for path in files for fault in rules.cases(path, registry)]
    tried = sum(len(texts.table(path).get(kind, ())) for path in files for kind in ("pass", "fail"))
    return Answer(tuple(found), *counts, tried)


def _with(folder: Path, others: Registry) -> Registry | str:
    """All plugins with this folder among them, or why that cannot be."""
    try:
        return discover([folder])
    except BadPlugin as error:
        return str(error)


def _parts(folder: Path, registry: Registry | str, others: Registry) -> Iterator[Fault]:
    """What is amiss in instruments, cards, index and tables."""
    found: list[Fault] = []
    whole = others if isinstance(registry, str) else registry
    for path, schema in texts.documents(folder):
        if schema == "profile-1":
            found += profiles.faults(path, whole, others)
        elif schema == "rule-1":
            found += rules.card(path, whole, others)
    yield from found
    if isinstance(registry, str):
        if all(fault.remark for fault in found):
            yield Fault(folder, 1, registry)
        return
    yield from (Fault(folder / PLUGIN, 1, notice) for notice in registry.notices if folder.resolve().name in notice)
    if not (folder / PLUGIN).is_file():
        yield Fault(folder / PLUGIN, 1, "missing: findings will name the plugin without a version.", remark=True)
    yield from requires.faults(folder, registry)
    yield from stale(folder)


def stale(folder: Path) -> Iterator[Fault]:
    """Whether the index and the README's tables are those of the files; a folder that is not installed needs no index."""
    for file, content in generated(folder).items():
        if file.is_file() and file.read_bytes() != content:
            yield Fault(file, 1, f"not fresh; renew it: xmlcheck plugins index {folder}")
        elif not file.is_file() and file.name == INDEX and installed(folder):
            yield Fault(file, 1, f"missing; make it: xmlcheck plugins index {folder}")
