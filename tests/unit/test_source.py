"""Reading bytes: encodings (XML 1.0, appendix F: byte order mark, then zero bytes, then the declaration) and .mxl (container
format of MusicXML 4.0: the first rootfile is the score)."""

from __future__ import annotations

import hashlib
import io
import sys
import zipfile
from pathlib import Path

import pytest

from xmlcheck.source import Limits, Source, from_bytes, original, read_source

BODY = '<score-partwise version="4.0"><part-list/><!-- é --></score-partwise>'
CONTAINER = '<?xml version="1.0"{mark}><container><rootfiles>{files}</rootfiles></container>'
ROOTFILE = '<rootfile full-path="{}"/>'


def declared(encoding: str) -> str:
    return f'<?xml version="1.0" encoding="{encoding}"?>\n{BODY}'


def kinds(source: Source) -> list[str]:
    return [notice.kind for notice in source.notices]


@pytest.mark.parametrize(
    ("data", "encoding", "lead", "notices"),
    [
        (declared("UTF-8").encode(), "utf-8", 0, []),
        (BODY.encode(), "utf-8", 0, []),
        (b"\xef\xbb\xbf" + declared("UTF-8").encode(), "utf-8", 3, []),
        (b"\xef\xbb\xbf" + declared("ISO-8859-1").encode(), "utf-8", 3, []),
        (b"\xff\xfe" + declared("UTF-16").encode("utf-16-le"), "utf-16-le", 2, []),
        (b"\xfe\xff" + declared("UTF-16").encode("utf-16-be"), "utf-16-be", 2, []),
        (b"\xfe\xff" + declared("UTF-8").encode("utf-16-be"), "utf-16-be", 2, []),
        (declared("UTF-16LE").encode("utf-16-le"), "utf-16-le", 0, []),
        (BODY.encode("utf-16-be"), "utf-16-be", 0, []),
        (("\r\n" + BODY).encode("utf-16-le"), "utf-16-le", 4, []),
        (declared("ISO-8859-1").encode("latin-1"), "iso8859-1", 0, []),
        (declared("windows-1252").encode("cp1252"), "cp1252", 0, []),
        (declared("Shift_JIS").replace("é", "琴").encode("shift_jis"), "cp932", 0, []),
        (declared("GB2312").replace("é", "古筝").encode("gb2312"), "gb18030", 0, []),
        (declared("EUC-KR").replace("é", "가야금").encode("euc_kr"), "cp949", 0, []),
        (declared("UTF-16").encode(), "utf-8", 0, ["encoding"]),
        (declared("UTF-8").encode("cp1252"), "cp1252", 0, ["encoding"]),
        (BODY.encode("cp1252"), "cp1252", 0, ["encoding"]),
        (declared("US-ASCII").encode(), "utf-8", 0, []),
        (declared("UTF-8").encode("latin-1").replace(b"\xe9", b"\x81"), "iso8859-1", 0, ["encoding"]),
        (b"\n\t " + declared("UTF-8").encode(), "utf-8", 3, ["encoding"]),
        (b"\n" + BODY.encode(), "utf-8", 1, []),
        (b"\n<?xmlcheck file?>" + BODY.encode(), "utf-8", 1, []),
    ],
)
def test_the_encoding_is_decided_once(data: bytes, encoding: str, lead: int, notices: list[str]) -> None:
    source = from_bytes(data, "cue.musicxml")
    assert (source.encoding, source.lead, kinds(source)) == (encoding, lead, notices)
    assert source.data == data
    assert source.data[source.lead :].decode(source.encoding).startswith("<")


def test_a_file_is_its_bytes(tmp_path: Path) -> None:
    path = tmp_path / "Glühlicht 3.musicxml"
    path.write_bytes(BODY.encode())
    source = read_source(path)
    assert source == read_source(str(path))
    assert (source.name, source.data, source.container, source.member) == (path.name, BODY.encode(), None, None)
    assert source.sha256 == source.member_sha256 == hashlib.sha256(BODY.encode()).hexdigest()


def test_a_dash_is_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(BODY.encode())))
    source = read_source("-")
    assert (source.name, source.data) == ("standard input", BODY.encode())


def zipped(*entries: tuple[str, str | bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries:
            archive.writestr(name, content)
    return out.getvalue()


def container(*paths: str, mark: str = "?") -> tuple[str, str]:
    return "META-INF/container.xml", CONTAINER.format(mark=mark, files="".join(ROOTFILE.format(path) for path in paths))


@pytest.mark.parametrize(
    "entries",
    [
        [("mimetype", "application/vnd.recordare.musicxml"), container("cue.musicxml"), ("cue.musicxml", BODY)],
        [container("cue.musicxml"), ("cue.musicxml", BODY)],
        [container("cue.musicxml", mark=""), ("cue.musicxml", BODY)],  # as in the standard's own tutorial
        [
            container("cue.musicxml", "cue.pdf", "b.musicxml"),
            ("b.musicxml", "<b/>"),
            ("cue.pdf", "%PDF"),
            ("cue.musicxml", BODY),
        ],
        [container("./scores/Küste &amp; Straße.xml"), ("scores/Küste & Straße.xml", BODY)],
        [
            (container()[0], f"<!-- {ROOTFILE.format('b.xml')} -->{ROOTFILE.format('cue.xml')}"),
            ("b.xml", ""),
            ("cue.xml", BODY),
        ],
        [container("cue.xml"), ("../evil.xml", "<evil/>"), ("cue.xml", BODY)],
    ],
)
def test_the_first_rootfile_is_the_score(entries: list[tuple[str, str]]) -> None:
    data = zipped(*entries)
    source = from_bytes(data, "cue.musicxml")  # known by its bytes, whatever its name says
    assert source.data == BODY.encode()
    assert source.container == data
    assert source.member in [name for name, _ in entries]
    assert source.sha256 == hashlib.sha256(data).hexdigest()
    assert source.member_sha256 == hashlib.sha256(BODY.encode()).hexdigest()
    assert source.notices == ()


def test_a_name_in_utf_8_is_found_without_the_flag_that_says_so() -> None:
    """Zip specification, appendix D: without bit 11 names are in code page 437, but many programs write UTF-8."""
    data = bytearray(zipped(container("Küste 琴.xml"), ("Küste 琴.xml", BODY)))
    for mark, flag in ((b"PK\x03\x04", 7), (b"PK\x01\x02", 9)):
        data[data.rindex(mark) + flag] &= ~0x08
    assert from_bytes(bytes(data), "cue.mxl").data == BODY.encode()


def test_a_zip_with_one_score_and_no_index_is_read_with_a_notice() -> None:
    source = from_bytes(zipped(("readme.txt", "x"), ("cue.xml", BODY), ("../other.xml", "<a/>")), "cue.mxl")
    assert (source.member, kinds(source)) == ("cue.xml", ["container"])


def test_a_large_member_may_be_packed_small_within_the_ratio() -> None:
    limits = Limits(ratio=20, ratio_from=1000)
    assert from_bytes(zipped(("cue.xml", BODY + " " * 900)), "cue.mxl", limits).member == "cue.xml"


def test_an_unmarked_source_is_its_own_original() -> None:
    source = from_bytes(BODY.encode(), "cue.musicxml")
    assert original(source) is source


@pytest.mark.parametrize(("right", "said"), [(True, "taken out"), (False, "edited after")])
def test_the_original_of_a_marked_source_is_what_its_marks_leave(right: bool, said: str) -> None:
    sha256 = hashlib.sha256(BODY.encode() if right else b"").hexdigest()
    head = f'<?xmlcheck file tool="xmlcheck 0.1.0" schema="findings-1" sha256="{sha256}"?>'
    source = original(from_bytes((head + BODY).encode(), "cue.checked.musicxml"))
    assert source.data == BODY.encode()
    assert source.sha256 == source.member_sha256 == hashlib.sha256(BODY.encode()).hexdigest()
    assert [notice.kind for notice in source.notices] == ["marks"]
    assert said in source.notices[0].text
