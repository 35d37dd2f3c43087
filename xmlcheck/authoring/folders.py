"""A plugin folder to write into: its name, its plugin.toml, and templates filled in."""

from __future__ import annotations

import re
import unicodedata
from importlib.resources import files
from pathlib import Path
from string import Template

from xmlcheck.errors import BadPlugin
from xmlcheck.registry import Registry, discover

PLUGIN = "plugin.toml"


def template(name: str, /, **values: str) -> str:
    """The text of a template with its values filled in."""
    text = (files("xmlcheck.authoring") / "templates" / f"{name}.txt").read_text(encoding="utf-8")
    return Template(text).substitute(values)


def beginnings(folder: Path) -> dict[Path, str]:
    """The plugin.toml of a folder that has none yet. Raises BadPlugin where Python could not import the folder by its name."""
    package = folder.resolve().name
    if not re.fullmatch(r"[a-z][a-z0-9_]*", package):
        raise BadPlugin(f"{folder}: a plugin folder is called by small letters, figures and _, such as house_instruments.")
    path = folder / PLUGIN
    return {} if path.exists() else {path: template("plugin", package=package)}


def around(folder: Path) -> Registry:
    """All that is installed, and what the folder brings where it is sound already: a half-filled one keeps nobody from more."""
    try:
        return discover([folder] if folder.is_dir() else [])
    except BadPlugin:
        return discover()


def untaken(texts: dict[Path, str]) -> dict[Path, bytes]:
    """The files as bytes. Raises BadPlugin where one is there already: what somebody has filled in is never replaced."""
    taken = next((path for path in texts if path.exists()), None)
    if taken is not None:
        raise BadPlugin(f"{taken}: is there already; take another name, or move it away.")
    return {path: text.encode() for path, text in texts.items()}


def slug(name: str) -> str:
    """The id of a name: small letters and figures without accents, joined by hyphens. Raises BadPlugin where none is left."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    words = re.findall(r"[a-z0-9]+", plain)
    if not words:
        raise BadPlugin(f"{name!r} gives no id: name the instrument in Latin letters too; other scripts go among its aliases.")
    return "-".join(words)
