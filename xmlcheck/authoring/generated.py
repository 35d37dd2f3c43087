"""What is made from a plugin folder's own files: its index, which start-up reads, and the tables in its README."""

from __future__ import annotations

import json
import sys
from importlib.metadata import entry_points
from pathlib import Path
from typing import Any

from xmlcheck.errors import BadPlugin
from xmlcheck.folder import INDEX, make_index
from xmlcheck.hookspecs import GROUP
from xmlcheck.output.tables import renewed
from xmlcheck.registry import discover


def index_text(folder: Path) -> str:
    """The index of a plugin folder as JSON text; equal folders give equal texts. Raises BadPlugin, naming the file."""
    if not folder.is_dir():
        raise BadPlugin(f"{folder}: no such plugin folder.")
    try:
        return json.dumps(_index(folder.resolve()), ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    except TypeError as error:  # TOML has dates, JSON has none
        raise BadPlugin(f"{folder}: holds a value that an index cannot keep ({error}).") from error


def _index(home: Path) -> dict[str, Any]:
    """The index with what the Python asks for, where that can be imported; without it start-up finds out each time, and says why."""
    if str(home.parent) not in sys.path:
        sys.path.insert(0, str(home.parent))
    try:
        return make_index(home, home.name, home.name)
    except (Exception, SystemExit):  # the author's own Python may break in any way; a fault of the TOML files is raised again
        return make_index(home, home.name)


def generated(folder: Path) -> dict[Path, bytes]:
    """The index of a folder, and its README with the tables between markers renewed. Raises BadPlugin."""
    files = {folder / INDEX: index_text(folder).encode()}
    readme = folder / "README.md"
    if readme.is_file():
        registry = discover() if installed(folder) else discover([folder])
        files[readme] = renewed(readme.read_text(encoding="utf-8"), folder.resolve().name, registry).encode()
    return files


def installed(folder: Path) -> bool:
    """Whether an installed distribution brings the plugin of this name."""
    return any(point.name == folder.resolve().name for point in entry_points(group=GROUP))
