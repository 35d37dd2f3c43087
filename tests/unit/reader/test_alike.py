"""Notes that are written alike are read once: the score must be the same as if each had been read by itself.

The files are music21's bundled ones (test-only); the made ones have notes of equal bytes that mean different things.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.corpus_files import label, music21_sample
from xmlcheck.document import parse
from xmlcheck.model import Score
from xmlcheck.reader import read
from xmlcheck.reader.alike import Alike
from xmlcheck.reader.draft import Draft
from xmlcheck.source import Source, from_bytes, read_source

HEAD = '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Oud</part-name></score-part></part-list>'
NOTE = "<note><pitch><step>D</step><octave>4</octave></pitch><duration>2</duration><voice>1</voice><type>quarter</type></note>"


def one_by_one(source: Source, monkeypatch: pytest.MonkeyPatch) -> Score:
    with monkeypatch.context() as patched:
        patched.setattr(Alike, "known", lambda self, anchor, ticks: None)
        patched.setattr(Alike, "keep", lambda self, draft: None)
        return read(parse(source))


def made(*bars: str) -> bytes:
    measures = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(bars, 1))
    return f'{HEAD}<part id="P1">{measures}</part></score-partwise>'.encode()


@pytest.mark.parametrize("path", music21_sample(), ids=label)
def test_published_scores_are_the_same(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = read_source(path)
    assert read(parse(source)) == one_by_one(source, monkeypatch)


DIVISIONS = "<attributes><divisions>{}</divisions></attributes>"
WRONG = NOTE.replace("<duration>2", "<duration>soon")
CASES = {
    "other divisions": made(DIVISIONS.format(2) + NOTE, DIVISIONS.format(4) + NOTE, DIVISIONS.format(2) + NOTE),
    "a fault each": made(DIVISIONS.format(2) + WRONG, WRONG, WRONG),
    "a comment that ends the note by sight": made(
        DIVISIONS.format(2) + NOTE.replace("<voice>", "<!-- </note> --><voice>"),
        NOTE.replace("<voice>", "<!-- </note> --><voice>").replace("quarter", "eighth"),
    ),
    "an end tag in CDATA": made(
        DIVISIONS.format(2) + NOTE.replace("<voice>1", "<voice><![CDATA[</note>1]]>"),
        NOTE.replace("<voice>1", "<voice><![CDATA[</note>2]]>"),
    ),
    "empty notes before others": made(DIVISIONS.format(2) + "<note/>" + NOTE + "<note/>" + NOTE + "<note></note>" + NOTE),
    "attributes apart": made(
        DIVISIONS.format(2)
        + NOTE.replace("<note>", '<note print-object="no">')
        + NOTE
        + NOTE.replace("<note>", '<note dynamics="50">')
    ),
    "an angle bracket in an attribute": made(
        DIVISIONS.format(2) + NOTE.replace("<note>", '<note time-only="1>2">') + NOTE.replace("<note>", '<note time-only="2">')
    ),
    "notes where none belong": made(
        DIVISIONS.format(2) + "<unknown>" + NOTE + "</unknown>" + NOTE, NOTE.replace("D", "E") + NOTE
    ),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16-le", "utf-16-be"])
def test_equal_bytes_with_other_meanings(name: str, encoding: str, monkeypatch: pytest.MonkeyPatch) -> None:
    data = CASES[name]
    if encoding != "utf-8":
        mark = b"\xff\xfe" if encoding == "utf-16-le" else b"\xfe\xff"
        data = mark + data.decode().encode(encoding)
    source = from_bytes(data, name)
    assert read(parse(source)) == one_by_one(source, monkeypatch)


def test_most_notes_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[Draft] = []
    keep = Alike.keep

    def counted(self: Alike, draft: Draft) -> None:
        kept.append(draft)
        keep(self, draft)

    monkeypatch.setattr(Alike, "keep", counted)
    score = read(parse(from_bytes(made(DIVISIONS.format(2) + NOTE * 4, NOTE * 4), "alike")))
    assert (len(score.parts[0].notes), len(kept)) == (8, 1)
