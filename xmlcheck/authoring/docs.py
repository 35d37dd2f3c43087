"""The reference in a folder: made, written, and compared with what is there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from xmlcheck.authoring.examples import examples
from xmlcheck.errors import WriteFailed
from xmlcheck.output.reference import MADE, pages
from xmlcheck.registry import Registry
from xmlcheck.write import write


def made(registry: Registry) -> dict[str, bytes]:
    """Every page of the reference by its name in the folder; equal registries give equal bytes. Raises XmlcheckError."""
    return {name: text.encode() for name, text in pages(registry, examples(registry)).items()}


def put(folder: Path, registry: Registry) -> tuple[int, int]:
    """Writes the reference; returns how many pages were written, and how many that it has no more were taken away.

    Only pages of our own making are replaced or taken away. Raises WriteFailed.
    """
    new = {folder / name: data for name, data in made(registry).items()}
    foreign = next((path for path in new if path.exists() and not _ours(path)), None)
    if foreign is not None:
        raise WriteFailed(f"{foreign}: is there already and was not made by xmlcheck docs; give --out another folder.")
    write(new)
    left = [path for path in _pages(folder) if path not in new]
    for path in left:
        try:
            path.unlink()
        except OSError as error:
            raise WriteFailed(f"{path}: is no page any more and cannot be taken away ({error.strerror}).") from error
    return len(new), len(left)


def stale(folder: Path, registry: Registry) -> Iterator[tuple[Path, str]]:
    """Pages that are not as they would be made now, each with what is amiss."""
    new = {folder / name: data for name, data in made(registry).items()}
    for path, data in new.items():
        if not path.is_file():
            yield path, "missing"
        elif path.read_bytes() != data:
            yield path, "not fresh"
    yield from ((path, "no page of the reference any more") for path in _pages(folder) if path not in new)


def _pages(folder: Path) -> list[Path]:
    """The pages in a folder that were made by this tool."""
    return [path for path in sorted(folder.rglob("*.md")) if path.is_file() and _ours(path)]


def _ours(path: Path) -> bool:
    try:
        with path.open("rb") as stream:
            return stream.readline().rstrip(b"\r\n") == MADE.encode()
    except OSError:
        return False
