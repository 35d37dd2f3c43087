"""Tree and byte offsets of one score. The offsets are checked by looking at the bytes there, whatever the encoding."""

from __future__ import annotations

import codecs
from typing import Any

import pytest
from lxml import etree

from xmlcheck import document as documents
from xmlcheck.document import ANCHORED, Document, parse
from xmlcheck.source import from_bytes

SCORE = """{declaration}<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "partwise.dtd">
<!-- a comment with <note> and <measure> -->
<?other <note>?>
<score-partwise version="4.0">
  <identification><creator type="composer">{name} <![CDATA[<note> ]] </part>]]></creator></identification>
  <part-list><score-part id="P1"><part-name>{name}</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1" text="a > b">
      <attributes><divisions>1</divisions></attributes>
      <direction><direction-type><words>{name} &amp; &lt;note></words></direction-type></direction>
      <note
        default-x="1"><rest/><duration>1</duration><notations/></note><note/><!--
      <note/>--><backup ><duration>1</duration></backup>
      <forward\t/><harmony/><barline/>
    </measure>
  </part>
</score-partwise>
"""
NAMES = ["part", "measure", "attributes", "direction", "note", "note", "backup", "forward", "harmony", "barline"]


def made(encoding: str, declared: str | None, name: str, newline: str = "\n", mark: bytes = b"") -> bytes:
    declaration = f'<?xml version="1.0" encoding="{declared}"?>\n' if declared else ""
    return mark + SCORE.format(declaration=declaration, name=name).replace("\n", newline).encode(encoding)


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("encoding", "declared", "name", "mark"),
    [
        ("utf-8", None, "Küste 琴 𝄞", b""),
        ("utf-8", "UTF-8", "Küste 琴 𝄞", codecs.BOM_UTF8),
        ("utf-16-le", "UTF-16", "Küste ļļ 㰀㸼 𝄞", codecs.BOM_UTF16_LE),  # letters whose bytes look like < and >
        ("utf-16-be", "UTF-16", "Küste ļļ 㰀㸼 𝄞", codecs.BOM_UTF16_BE),
        ("utf-16-be", None, "Küste", b""),
        ("latin-1", "ISO-8859-1", "Küste", b""),
        ("cp1252", "windows-1252", "Küste „Licht“ €", b""),
        ("cp1252", "UTF-8", "Küste „Licht“ €", b""),  # not what it says
        ("shift_jis", "Shift_JIS", "尺八 ソ表能", b""),  # letters whose second byte is a backslash
        ("gb18030", "GB18030", "古筝 㐀 𝄞", b""),
        ("big5", "Big5", "古箏 功許蓋", b""),
        ("euc_kr", "EUC-KR", "가야금", b""),
        ("iso8859-9", "ISO-8859-9", "Ney ğışç", b""),
        ("cp1251", "windows-1251", "Домра", b""),
    ],
)
def test_every_start_is_where_its_tag_is(encoding: str, declared: str | None, name: str, mark: bytes, newline: str) -> None:
    document = parse(from_bytes(made(encoding, declared, name, newline, mark), "cue.musicxml"))
    assert document.starts is not None
    for start, expected in zip(document.starts, NAMES, strict=True):
        there = document.source.data[start : start + 40].decode(encoding, "ignore")
        assert there.startswith(f"<{expected}")
    assert [element.tag for element in document.root.iter(*ANCHORED)] == NAMES
    assert document.root.findtext("part-list/score-part/part-name") == name
    anchors = document.anchors()
    assert [anchors[element] for element in document.root.iter("note")] == [4, 5]


def test_line_numbers_and_comments_stay() -> None:
    root = parse(from_bytes(made("utf-8", None, "x"), "cue.musicxml")).root
    note: Any = next(root.iter("note"))
    assert (note.sourceline, note.get("default-x")) == (12, "1")
    assert len(list(root.iter(etree.Comment))) == 1


def test_an_entity_known_only_to_the_dtd_stays_an_entity() -> None:
    """The DTD is never fetched; `&eacute;` is then an entity node, which lxml neither drops nor resolves."""
    data = made("utf-8", None, "x").replace(b"<part-name>x<", b"<part-name>Caf&eacute; Nord<")
    document = parse(from_bytes(data, "cue.musicxml"))
    name = next(document.root.iter("part-name"))
    assert etree.tostring(name, encoding="unicode", with_tail=False) == "<part-name>Caf&eacute; Nord</part-name>"
    assert document.starts is not None


def test_white_space_before_the_declaration_is_skipped() -> None:
    document = parse(from_bytes(b"\r\n  " + made("utf-8", "UTF-8", "x"), "cue.musicxml"))
    assert document.starts is not None
    assert document.source.data[document.starts[0] :].startswith(b"<part ")
    assert [notice.kind for notice in document.notices] == ["encoding"]


def test_a_timewise_score_is_read_as_it_is() -> None:
    data = b'<score-timewise><part-list/><measure number="1"><part id="P1"><note/></part></measure></score-timewise>'
    document = parse(from_bytes(data, "cue.musicxml"))
    assert list(document.starts or ()) == [data.index(tag) for tag in (b"<measure", b"<part ", b"<note")]


@pytest.mark.parametrize(
    "odd",
    [
        b'<note xmlns="http://example.org/a"/>',  # in the bytes a note, in the tree none
        b'<note xmlns:a="http://example.org/a"><a:note/></note><b xmlns="http://example.org/a"><note/></b>',
    ],
)
def test_where_tree_and_bytes_disagree_nothing_can_be_annotated(odd: bytes) -> None:
    data = made("utf-8", None, "x").replace(b"<note/>", odd, 1)
    document = parse(from_bytes(data, "cue.musicxml"))
    assert document.starts is None
    assert [notice.kind for notice in document.notices] == ["starts"]
    assert "not annotated" in document.notices[0].text


def test_the_network_is_never_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    import socket

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a connection was opened")

    monkeypatch.setattr(socket, "socket", refuse)
    data = made("utf-8", None, "x").replace(b'"partwise.dtd"', b'"http://127.0.0.1:9/partwise.dtd"')
    assert isinstance(parse(from_bytes(data, "cue.musicxml")), Document)


def test_anchored_names_are_elements_of_the_tree_only_once_each() -> None:
    assert len(set(ANCHORED)) == len(ANCHORED)
    assert not set(documents.ROOTS) & set(ANCHORED)
