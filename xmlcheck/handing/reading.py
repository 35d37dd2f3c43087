"""Files as read: their header, their music, and the report of their check."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from lxml import etree

from xmlcheck.document import Document, parse
from xmlcheck.errors import XmlcheckError
from xmlcheck.facts.time import TempoMap, first_pass, tempo_map
from xmlcheck.finding import PartInfo, Report
from xmlcheck.handing import naming
from xmlcheck.handing.content import Content, content
from xmlcheck.handing.folder import Item, sources
from xmlcheck.handing.frame import Frame, frame
from xmlcheck.handing.naming import Header
from xmlcheck.model import Part, Score
from xmlcheck.reader import read
from xmlcheck.source import Source

Check = Callable[[Document, Score], Report]


@dataclass(frozen=True)
class Music:
    """One readable file. name: path in the folder, of a linked part in an .mxl with `!`."""

    name: str
    item: Item
    source: Source = field(repr=False)
    score: Score = field(repr=False)
    root: etree._Element = field(repr=False)
    header: Header
    report: Report = field(repr=False)

    @cached_property
    def contents(self) -> tuple[Content, ...]:
        return tuple(content(self.score, part) for part in self.score.parts)

    @cached_property
    def tempo(self) -> TempoMap:
        return tempo_map(self.score)

    @cached_property
    def frame(self) -> Frame:
        return frame(self.score, self.score.parts, self.tempo)

    def line_frame(self, index: int) -> Frame:
        """The frame of one part alone."""
        return frame(self.score, (self.score.parts[index],), self.tempo)

    @cached_property
    def seconds(self) -> float | None:
        """Length of the first pass through repeats, in seconds; None where the file gives no tempo or no music."""
        parts = self.score.parts
        if not parts or not parts[0].measures or not self.tempo.given:
            return None
        bars = parts[0].measures
        passed = first_pass(parts[0], self.tempo)
        ends = [passed.seconds(bar.index, bar.onset + bar.length) for bar in bars]
        return max((end for end in ends if end is not None), default=None)

    def info(self, index: int) -> PartInfo | None:
        """What the check recognised of a part."""
        id = self.score.parts[index].id
        return next((info for info in self.report.parts if info.id == id), None)

    def instrument(self, index: int) -> str | None:
        info = self.info(index)
        return info.instrument if info is not None else None

    @property
    def revision(self) -> str:
        """The revision that the file tells: in its header, else in its name."""
        return self.header.revision or naming.revision(self.name)


@dataclass(frozen=True, slots=True)
class Failed:
    """A file that cannot be read, and why."""

    name: str
    error: XmlcheckError


def read_all(items: list[Item], check: Check) -> list[Music | Failed]:
    """All scores of the files, each read and checked by all rules. Never raises for what is wrong with one file."""
    found: list[Music | Failed] = []
    for item in items:
        if not item.is_music:
            continue
        for name, source in sources(item):
            if isinstance(source, XmlcheckError):
                found.append(Failed(name, source))
                continue
            try:
                document = parse(source)
                score = read(document)
                if not score.parts:
                    raise XmlcheckError(f"{name}: no music in it.")
                found.append(
                    Music(name, item, source, score, document.root, naming.header(document.root), check(document, score))
                )
            except XmlcheckError as error:
                found.append(Failed(name, error))
    return found


def called(part: Part) -> str:
    """A part's name as shown."""
    return part.display_name or part.name or part.id
