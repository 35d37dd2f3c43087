"""The promise of annotation, kept on every MusicXML file that music21 bundles.

Checked against outsiders: Canonical XML (W3C C14N 1.0, by libxml2) for "nothing changed but insertions", the W3C MusicXML 4.0
schema for "no error added" - many of these files are invalid before, so errors after are compared with errors before.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from tests.conftest import MakeFinding, MakeReport
from tests.corpus_files import label, music21_files, music21_sample, musicxml_schema
from xmlcheck.annotation import annotate, unmark
from xmlcheck.document import ANCHORED, Document, parse
from xmlcheck.errors import XmlcheckError
from xmlcheck.finding import Grade
from xmlcheck.source import from_bytes, read_source

REFUSED: dict[str, str] = {}
"""Files that are refused, with the reason. Only a file that music21 refuses too may stand here; none is refused."""

NASTY = "too wide: A4 & <B♭5> ?> ]]> é"
FIELDS = ("miscellaneous-field", "miscellaneous", "identification")
FILES = [
    pytest.param(path, id=label(path), marks=() if path in music21_sample() else pytest.mark.long) for path in music21_files()
]


def test_the_files_are_there() -> None:
    """music21 10.5 bundles 808 MusicXML files; a release that drops most of them must not empty this test."""
    assert len(music21_files()) > 700
    assert 20 <= len(music21_sample()) <= 40


@pytest.mark.parametrize("path", FILES)
def test_annotations_come_out_without_a_trace(path: Path, make_finding: MakeFinding, make_report: MakeReport) -> None:
    data = path.read_bytes()
    if path.name in REFUSED:
        with pytest.raises(XmlcheckError):
            parse(read_source(path))
        return
    document = parse(from_bytes(data, path.name))
    assert document.starts is not None
    anchors = places(document)
    assert anchors, "a score without a single place to mark proves nothing"
    elements = list(document.root.iter(*ANCHORED))
    findings = [
        make_finding(number, anchor, grade=(Grade.HALT, Grade.QUERY)[number % 2], label=NASTY, **beside(elements[anchor]))
        for number, anchor in enumerate(anchors, 1)
    ]
    marked = annotate(data, make_report(data, findings))

    assert unmark(marked) == data if document.source.container is None else same_zip(unmark(marked), data)
    again = parse(from_bytes(marked, path.name))
    assert again.starts is not None
    schema = musicxml_schema()
    before, after = errors(schema, document.root), errors(schema, again.root)
    assert after <= before, after - before
    assert cut_marks(again.root) == anchors
    assert canonical(again.root) == canonical(document.root)


def places(document: Document) -> list[int]:
    """Anchors: every tenth note, or the first of its chord, and the first child of the first and last bar of each part."""
    anchors = document.anchors()
    notes = list(document.root.iter("note"))[::10]
    chosen = {anchors[first_of_chord(note)] for note in notes}
    bars = "part/measure" if document.root.tag == "score-partwise" else "measure/part"
    by_part: dict[str, list[etree._Element]] = {}
    for bar in document.root.iterfind(bars):
        parent = bar.getparent()
        key = bar.get("id") if bar.tag == "part" else parent.get("id") if parent is not None else None
        by_part.setdefault(key or "", []).append(bar)
    for row in by_part.values():
        for bar in (row[0], row[-1]):
            chosen.update(anchors[child] for child in list(bar.iterchildren(*ANCHORED))[:1])
    return sorted(chosen)


def first_of_chord(note: etree._Element) -> etree._Element:
    while note.find("chord") is not None:
        before = next(note.itersiblings("note", preceding=True), None)
        if before is None:
            break
        note = before
    return note


def beside(element: etree._Element) -> dict[str, str | int]:
    """Voice and staff of the anchored element, as a caller gives them."""
    found: dict[str, str | int] = {}
    voice, staff = element.findtext("voice"), element.findtext("staff")
    if voice:
        found["voice"] = voice
    if staff:
        found["staff"] = int(staff)
    return found


def errors(schema: etree.XMLSchema, root: etree._Element) -> Counter[tuple[str, str]]:
    """Schema errors by message and element path. An insertion shifts the count of directions and fields: not compared."""
    schema.validate(root)
    shifting = re.compile(r"/(direction|miscellaneous-field)\[\d+\]")
    log: Any = schema.error_log
    return Counter((error.message, shifting.sub(r"/\1", error.path or "")) for error in log)


def cut_marks(root: Any) -> list[int]:
    """Takes our instructions and what stands between them out of the tree; tells before which element each direction stood.

    Written without the lexer: by the tree alone.
    """
    header = root.getprevious()
    assert header is not None
    assert (header.target, header.text.split()[0]) == ("xmlcheck", "file")
    found, gone = [], []
    for begin in [item for item in root.iter(etree.ProcessingInstruction) if (item.target, item.text) == ("xmlcheck", "begin")]:
        inserted, end = begin.getnext(), begin.getnext().getnext()
        assert (end.target, end.text) == ("xmlcheck", "end")
        if inserted.tag == "direction":
            assert inserted[0].tag == "direction-type"
            assert (inserted.findtext("direction-type/words") or "").endswith(NASTY)
            found.append(end.getnext())
        else:
            assert inserted.tag in FIELDS
        gone += [begin, inserted, end]
    for item in gone:
        assert item.tail is None
        item.getparent().remove(item)
    order = {element: ordinal for ordinal, element in enumerate(root.iter(*ANCHORED))}
    return [order[element] for element in found]


def canonical(root: etree._Element) -> bytes:
    return etree.tostring(root, method="c14n", with_comments=True)


def same_zip(left: bytes, right: bytes) -> bool:
    """Whether two zips hold the same entries in the same order with the same content and kind of compression."""

    def rows(data: bytes) -> list[tuple[str, int, bytes]]:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return [(info.filename, info.compress_type, archive.read(info)) for info in archive.infolist()]

    return rows(left) == rows(right)
