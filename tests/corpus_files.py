"""Where the test material of other distributions lies on this machine. Nothing of it is copied into the project.

music21 bundles 808 MusicXML files (version 10.5): its corpus and a suite of notation examples. Two test-only distributions
bring the schemas: `musicxml` the W3C MusicXML 4.0 XSD, `xmlschema` the W3C XLink and XML namespace ones.
"""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from lxml import etree

SUFFIXES = (".xml", ".musicxml", ".mxl")
_STRIDE = 40
_HEAD = 200


def package_folder(name: str) -> Path:
    """The folder of an installed package, found without importing it."""
    spec = find_spec(name)
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError(f"{name} is not installed; install the test extra")
    return Path(spec.origin).parent


@cache
def music21_files() -> tuple[Path, ...]:
    """All MusicXML files that music21 bundles, sorted by path."""
    folder = package_folder("music21")
    return tuple(sorted(path for path in folder.rglob("*") if path.suffix in SUFFIXES and path.is_file()))


@cache
def music21_sample() -> tuple[Path, ...]:
    """About 25 files for the quick lane, always the same: every 40th, and the first in UTF-16 and in ISO-8859-1."""
    files = music21_files()
    chosen = set(files[::_STRIDE])
    for head in (b"\xff\xfe", b"ISO-8859-1"):
        plain = (path for path in files if path.suffix != ".mxl")
        chosen.update([path for path in plain if head in _head(path)][:2])
    return tuple(sorted(chosen))


def label(path: Path) -> str:
    """A short test id of a file: its last two path names, and two letters that tell namesakes apart."""
    digest = hashlib.sha256(str(path.relative_to(package_folder("music21"))).encode()).hexdigest()
    return f"{path.parent.name}/{path.name}-{digest[:2]}"


@cache
def musicxml_schema() -> etree.XMLSchema:
    """The W3C MusicXML 4.0 schema with its imports turned to local files."""
    schemas = package_folder("xmlschema") / "schemas"
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Local({"xml.xsd": schemas / "XML" / "xml.xsd", "xlink.xsd": schemas / "XLINK" / "xlink.xsd"}))
    file = package_folder("musicxml") / "generate_classes" / "musicxml_4_0.xsd"
    return etree.XMLSchema(etree.parse(str(file), parser))


class _Local(etree.Resolver):
    """Answers requests for imported schemas from local files; nothing goes over the network."""

    def __init__(self, files: dict[str, Path]) -> None:
        self.files = files

    def resolve(self: Any, system_url: str, public_id: str, context: Any = None) -> Any:
        file = self.files.get(system_url.rsplit("/", 1)[-1])
        return None if file is None else self.resolve_filename(str(file), context)


def _head(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(_HEAD)
