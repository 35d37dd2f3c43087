"""The files of a handoff: a folder, or a zip read in memory; linked parts inside an .mxl count as files of their own."""

from __future__ import annotations

import io
import os
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from xmlcheck import lexer
from xmlcheck.container import Limits
from xmlcheck.errors import TooLarge, Unreadable, XmlcheckError
from xmlcheck.paths import SUFFIXES
from xmlcheck.source import Source, from_bytes, original

TOTAL = 1 << 30
"""Bytes that a zip may unpack to in all (ours)."""
OUTPUTS = (".checked.musicxml", ".checked.mxl", ".player.musicxml", ".player.mxl", ".findings.json")
DECLARATION = "handoff.toml"


@dataclass(frozen=True, slots=True)
class Item:
    """One file: name, its path in the folder with `/`; data; changed: time of its last change in seconds, None if unknown."""

    name: str
    data: bytes = field(repr=False)
    changed: float | None = None

    @property
    def suffix(self) -> str:
        return PurePosixPath(self.name).suffix.lower()

    @property
    def stem(self) -> str:
        return PurePosixPath(self.name).stem

    @property
    def is_music(self) -> bool:
        """Whether it is a score by its suffix; of `.xml`, which much else has too, by its root."""
        if self.suffix == ".xml":
            return b"<score-" in self.data.replace(b"\0", b"")  # UTF-16 has zero bytes between
        return self.suffix in SUFFIXES


def gather(path: Path) -> list[Item]:
    """All files of a folder or zip in order of name; hidden ones and this tool's own outputs left out.

    Raises Unreadable or TooLarge.
    """
    if path.is_dir():
        found = list(_in_folder(path))
    elif path.is_file():
        found = list(_in_zip(path))
    else:
        raise Unreadable(f"{path}: no such folder or zip; check the spelling.")
    found = [item for item in found if not item.name.lower().endswith(OUTPUTS)]
    return sorted(found, key=lambda item: item.name)


def _in_folder(root: Path) -> Iterator[Item]:
    for place, folders, files in os.walk(root):
        folders[:] = sorted(name for name in folders if not name.startswith((".", "__MACOSX")))
        for name in sorted(files):
            if name.startswith("."):
                continue
            path = Path(place, name)
            if path.exists() and not path.is_file():  # a FIFO would be waited for
                raise Unreadable(f"{path}: is no regular file; take it out of the folder.")
            try:
                data = path.read_bytes()
            except OSError as error:
                raise Unreadable(f"{path}: cannot be read ({error.strerror}).") from None
            yield Item(path.relative_to(root).as_posix(), data, path.stat().st_mtime)


def _in_zip(path: Path) -> Iterator[Item]:
    limits = Limits.usual()
    try:
        with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as archive:
            infos = [info for info in archive.infolist() if not info.is_dir()]
            if len(infos) > limits.entries or sum(info.file_size for info in infos) > TOTAL:
                raise TooLarge(f"{path}: too many files or too much in them; unpack it and name the folder.")
            for info in infos:
                parts = PurePosixPath(info.filename).parts
                if not any(part.startswith((".", "__MACOSX")) for part in parts):
                    stamp = info.date_time
                    changed = sum(part * scale for part, scale in zip(stamp, _SCALES, strict=True))
                    yield Item(info.filename, archive.read(info), float(changed))
    except (zipfile.BadZipFile, OSError, RuntimeError) as error:
        raise Unreadable(f"{path}: is neither a folder nor a zip that can be read ({error}).") from None


_SCALES = (32_140_800, 2_678_400, 86_400, 3_600, 60, 1)
"""A zip's date as one growing number: years of 12 months of 31 days. Only good for telling which file is older."""


def sources(item: Item) -> list[tuple[str, Source | XmlcheckError]]:
    """The scores of one file, each by its name; of an .mxl also the part documents beside its score. Marks are taken out."""
    try:
        first = original(from_bytes(item.data, item.name))
    except XmlcheckError as error:
        return [(item.name, error)]
    found: list[tuple[str, Source | XmlcheckError]] = [(item.name, first)]
    if first.container is None:
        return found
    with zipfile.ZipFile(io.BytesIO(item.data)) as archive:
        for info in archive.infolist():
            lower = info.filename.lower()
            if info.filename == first.member or lower.startswith("meta-inf/") or not lower.endswith((".musicxml", ".xml")):
                continue
            name = f"{item.name}!{info.filename}"
            try:
                if info.file_size > Limits.usual().member:
                    raise TooLarge(f"{name}: unpacks to {info.file_size} bytes; not read.")
                inner = original(from_bytes(archive.read(info), name))
                root = lexer.root_start(lexer.units(inner.data, inner.encoding)[0])
                if root is None or root[1] in ("score-partwise", "score-timewise"):
                    found.append((name, inner))
            except XmlcheckError as error:
                found.append((name, error))
    return found
