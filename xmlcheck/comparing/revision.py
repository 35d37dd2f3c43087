"""One of the two files: its score, and what of it the score does not hold (sung words)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from lxml import etree

from xmlcheck.document import ANCHORED, parse
from xmlcheck.model import Score
from xmlcheck.reader import read
from xmlcheck.reader.plain import plain
from xmlcheck.source import Source, from_bytes, original, read_source

Syllable = tuple[str, str, str]
"""Verse, syllabic (single, begin, middle, end) and text."""


@dataclass(frozen=True, slots=True)
class Revision:
    """A file as read. sung: anchor of a note to its syllables. source: its bytes, without check marks."""

    source: Source
    score: Score
    root: etree._Element = field(repr=False)
    sung: Mapping[int, tuple[Syllable, ...]] = field(default_factory=dict, repr=False)

    @property
    def name(self) -> str:
        return self.source.name


def revision(source: Path | str | bytes | Source, name: str = "score") -> Revision:
    """Reads one file: a path, "-" for standard input, the bytes, or a source. Raises errors.XmlcheckError."""
    if isinstance(source, bytes):
        source = from_bytes(source, name)
    elif not isinstance(source, Source):
        source = read_source(source)
    source = original(source)
    document = parse(source)
    score = read(document)
    return Revision(source, score, document.root, _sung(score, document.root))


def _sung(score: Score, root: etree._Element) -> dict[int, tuple[Syllable, ...]]:
    if not any(note.lyrics for part in score.parts for note in part.notes):
        return {}
    root, _ = plain(root)
    elements = list(root.iter(*ANCHORED))
    found: dict[int, tuple[Syllable, ...]] = {}
    for part in score.parts:
        for note in part.notes:
            if note.lyrics and 0 <= note.anchor < len(elements):
                found[note.anchor] = tuple(sorted(_syllable(lyric) for lyric in elements[note.anchor].iterfind("lyric")))
    return found


def _syllable(lyric: etree._Element) -> Syllable:
    """A syllable; several texts joined by an elision are one. What only extends the one before has no text."""
    texts = [(child.text or "").strip() for child in lyric if child.tag in ("text", "elision", "humming", "laughing")]
    return lyric.get("number", "1"), lyric.findtext("syllabic") or "single", " ".join(" ".join(texts).split())
