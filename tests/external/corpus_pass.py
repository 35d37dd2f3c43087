"""One pass of the whole check over music21's bundled files, kept for all tests of a session."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.corpus_files import music21_files, package_folder
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.errors import XmlcheckError
from xmlcheck.finding import PartInfo
from xmlcheck.registry import Registry, discover
from xmlcheck.source import read_source


@dataclass(frozen=True, slots=True)
class Told:
    """One finding of a file, as far as tests count it: `count` is its hits, not one for the merged finding."""

    rule: str
    grade: str
    count: int
    part: str
    bar: str
    message: str


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check said about one file; error is set where it was refused."""

    name: str
    error: str = ""
    parts: tuple[PartInfo, ...] = ()
    told: tuple[Told, ...] = ()
    failures: tuple[str, ...] = ()

    @property
    def notes(self) -> int:
        """Notes of recognised parts: pitched, audible, non-cue, non-grace heads, tied notes once."""
        return sum(part.notes for part in self.parts if part.instrument)


@cache
def registry() -> Registry:
    return discover()


@cache
def checked(path: Path) -> Checked:
    """The check of one file, made once a session."""
    name = path.relative_to(package_folder("music21")).as_posix()
    try:
        report = check_source(read_source(path), registry(), Config())
    except XmlcheckError as error:
        return Checked(name, str(error))
    told = tuple(
        Told(item.rule, item.grade.value, item.count, item.part or "", item.place.bar or "", item.message)
        for item in report.findings
    )
    failures = tuple(text for text in report.notices if " failed on " in text)
    return Checked(name, "", report.parts, told, failures)


@cache
def of_composers(*names: str) -> tuple[Path, ...]:
    """The bundled files of these folders of music21's corpus."""
    folder = package_folder("music21") / "corpus"
    return tuple(path for path in music21_files() if path.is_relative_to(folder) and path.relative_to(folder).parts[0] in names)
