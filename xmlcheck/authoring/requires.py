"""Does a plugin name every other plugin that it leans on? What it imports, what its profiles extend."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path

from xmlcheck.authoring.faults import Fault, at
from xmlcheck.authoring.folders import PLUGIN
from xmlcheck.authoring.texts import documents, table
from xmlcheck.hookspecs import GROUP
from xmlcheck.registry import Registry


def named(folder: Path) -> tuple[str, ...]:
    """The plugins that a folder's plugin.toml requires, without their versions."""
    path = folder / PLUGIN
    data = table(path) if path.is_file() else {}
    return tuple(re.split(r"[^a-z0-9_]", item)[0] for item in data.get("requires", ()))


def closure(folder: Path) -> frozenset[str]:
    """The plugins that a folder requires, and those that they require in turn."""
    found: set[str] = set()
    waiting = list(named(folder))
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            home = _home(folder, name)
            waiting += named(home) if home is not None else ()
    return frozenset(found)


def faults(folder: Path, registry: Registry) -> Iterator[Fault]:
    """Plugins that this one cannot do without and plugin.toml does not name, each with the first place that leans on it.

    The owner of a table is none of them: where it is absent the table is kept, and the rules that ask for it are absent too.
    """
    own = folder.resolve().name
    direct, all_of_them = {own, *named(folder)}, {own, *closure(folder)}
    plugins = {point.name for point in entry_points(group=GROUP)}
    lacking: dict[str, list[str]] = {}
    for file in sorted(folder.rglob("*.py")):
        for line, name in _imports(file):
            if name in plugins - direct:
                lacking.setdefault(name, []).append(f"{file.relative_to(folder)}:{line} imports it")
    for path, schema in documents(folder):
        base = registry.offers.get(table(path).get("extends", "")) if schema == "profile-1" else None
        if base is not None and base.entry.plugin not in all_of_them:
            lacking.setdefault(base.entry.plugin, []).append(f"{path.relative_to(folder)} extends {base.entry.id}")
    for name, places in sorted(lacking.items()):
        more = f" and {len(places) - 1} more" if len(places) > 1 else ""
        yield at(folder / PLUGIN, ("requires",), f"requires does not name {name}: {places[0]}{more}.")


def _imports(file: Path) -> Iterator[tuple[int, str]]:
    """Line and top-level package of every import of a module."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name.partition(".")[0]) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.lineno, node.module.partition(".")[0]


def _home(folder: Path, name: str) -> Path | None:
    """Where a plugin is: beside the folder, or where Python would import it from."""
    beside = folder.resolve().parent / name
    if (beside / PLUGIN).is_file():
        return beside
    spec = find_spec(name)
    places = list(spec.submodule_search_locations or ()) if spec is not None else []
    return Path(places[0]) if places else None
