"""What a row of the table of hostile inputs is, and the small good score that each is made from."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

Gets = Literal["refused", "checked"]
INDEX = "META-INF/container.xml"


@dataclass(frozen=True, slots=True)
class Row:
    """One hostile input.

    name: what it is, unique. make: writes it into an empty folder and returns the path to check; bytes are written as
    cue.musicxml. gets: refused (one sentence, exit 2, nothing in the folder changed) or checked (a normal check: exit 0 or 1,
    input as it was, findings and annotated copy written). says: stands in what is told. never: stands nowhere in output or
    files. options: further arguments. own_marks: the input has check marks of its own, which are taken out first. long: for the long
    runs only.
    """

    name: str
    make: bytes | Callable[[Path], Path]
    gets: Gets
    says: str = ""
    never: str = ""
    options: tuple[str, ...] = ()
    own_marks: bool = False
    long: bool = False

    def put(self, folder: Path) -> Path:
        """Makes the input in the folder; the path to check."""
        if callable(self.make):
            return self.make(folder)
        path = folder / "cue.musicxml"
        path.write_bytes(self.make)
        return path


def score(
    bars: str = "",
    *,
    head: str = "",
    root: str = "",
    title: str = "The Lamplighters' Causeway",
    listed: str = '<score-part id="P1"><part-name>Violin</part-name></score-part>',
    attributes: str = "<divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>",
    first: str = "",
    note: str = "",
    duration: str = "4",
    after: str = "",
) -> bytes:
    """A score of one bar with one G4, as UTF-8. first: before the note; note: in it; after: behind it; bars: further bars."""
    return (
        f'{head}<score-partwise version="4.0"{root}><movement-title>{title}</movement-title><part-list>{listed}</part-list>'
        f'<part id="P1"><measure number="1"><attributes>{attributes}</attributes>'
        f'<direction><direction-type><words>calmly</words></direction-type><sound tempo="60"/></direction>{first}'
        f"<note><pitch><step>G</step><octave>4</octave></pitch><duration>{duration}</duration><voice>1</voice>{note}</note>"
        f"{after}</measure>{bars}</part></score-partwise>"
    ).encode("utf-8", "surrogatepass")


def bar(content: str = "", number: object = 2, attributes: str = "") -> str:
    """A bar of one G4 with something before it."""
    return (
        f'<measure number="{number}"{attributes}>{content}<note><pitch><step>G</step><octave>4</octave></pitch>'
        "<duration>4</duration><voice>1</voice></note></measure>"
    )


def zipped(*entries: tuple[str | zipfile.ZipInfo, str | bytes]) -> bytes:
    """A zip with these entries, packed."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries:
            archive.writestr(name, content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def index(path: str, more: str = "") -> tuple[str, str]:
    """The container's index, which names the score."""
    return INDEX, f'<container><rootfiles><rootfile full-path="{path}" {more}/></rootfiles></container>'


def patched(data: bytes, name: bytes, *, local: int = 0, directory: int = 0, to: bytes = b"") -> bytes:
    """A zip with bytes put into the local header and the directory entry of a name, at these offsets from their signatures."""
    result = bytearray(data)
    for mark, name_at, offset in ((b"PK\x03\x04", 30, local), (b"PK\x01\x02", 46, directory)):
        place = -1
        while (place := data.find(mark, place + 1)) >= 0:
            if offset and data.startswith(name, place + name_at):
                result[place + offset : place + offset + len(to)] = to
    return bytes(result)


def named(name: str | bytes, data: bytes) -> Callable[[Path], Path]:
    """Writes the bytes under another name than cue.musicxml."""

    def make(folder: Path) -> Path:
        path = folder / (name if isinstance(name, str) else str(Path(_decoded(name))))
        path.write_bytes(data)
        return path

    return make


def _decoded(name: bytes) -> Any:
    import os

    return os.fsdecode(name)
