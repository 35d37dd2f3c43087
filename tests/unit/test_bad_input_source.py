"""Input that cannot be used: one sentence each, with the file's name, the cause and what to do; quickly, and without a crash."""

from __future__ import annotations

import io
import os
import struct
import time
import zipfile
from contextlib import nullcontext, suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tests.conftest import MakeFinding, MakeReport
from xmlcheck.annotation import annotate, unmark
from xmlcheck.document import parse
from xmlcheck.errors import BadConfig, TooLarge, Unreadable, Unsupported, XmlcheckError
from xmlcheck.source import Limits, from_bytes, original, read_source

SCORE = b'<score-partwise version="4.0"><part-list/></score-partwise>'
INDEX = "META-INF/container.xml"


def refusal(data: bytes, limits: Limits | None = None) -> XmlcheckError:
    """The error of these bytes as a file named cue.musicxml; its form is checked here for all."""
    began = time.perf_counter()
    with pytest.raises(XmlcheckError) as caught:
        parse(from_bytes(data, "cue.musicxml", limits))
    assert time.perf_counter() - began < 5
    sentence = str(caught.value)
    assert sentence.startswith("cue.musicxml: ")
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert len(sentence) < 300
    return caught.value


def zipped(*entries: tuple[str, str | bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries:
            archive.writestr(name, content)
    return out.getvalue()


def rootfile(path: str, more: str = "") -> tuple[str, str]:
    return INDEX, f'<container><rootfiles><rootfile full-path="{path}" {more}/></rootfiles></container>'


@pytest.mark.parametrize(
    ("data", "kind", "said"),
    [
        (b"", Unreadable, "is empty"),
        (b"\xef\xbb\xbf \r\n", Unreadable, "is empty"),
        (b"\xff\xfe", Unreadable, "is empty"),
        (b"MThd\0\0\0\x06", Unreadable, "is not XML"),
        (b"%PDF-1.7", Unreadable, "is not XML"),
        (b'{"a": 1}', Unreadable, "is not XML"),
        (b"<note>", Unreadable, "stops in the middle"),
        (SCORE[:-20], Unreadable, "stops in the middle"),
        (SCORE[:-3], Unreadable, "stops in the middle"),
        (SCORE.replace(b"<part-list/>", b"<part-list>"), Unreadable, "not well-formed"),
        (SCORE + SCORE, Unreadable, "not well-formed"),
        (SCORE.replace(b"<part-list/>", b"&eacute;"), Unreadable, "eacute"),
        (SCORE.replace(b"/></", b"/>\0</"), Unreadable, "not well-formed"),
        (SCORE.replace(b"/></", b"/>" + b"x" * 11_000_000 + b"</"), TooLarge, "too long"),
        (b"<html><body/></html>", Unreadable, "'html'"),
        (b'<score-partwise xmlns="http://example.org/a"/>', Unreadable, "namespace"),
        (b"<opus><title/></opus>", Unsupported, "one by one"),
        (
            b'<opus xmlns:xlink="http://www.w3.org/1999/xlink"><score xlink:href="a.musicxml"/></opus>',
            Unsupported,
            "one by one",
        ),
        (b'<?xml version="1.0" encoding="ISO-2022-JP"?>' + SCORE, Unsupported, "save it as UTF-8"),
        (b'<?xml version="1.0" encoding="UTF-7"?>' + SCORE, Unsupported, "save it as UTF-8"),
        (b'<?xml version="1.0" encoding="klingon"?>' + SCORE, Unsupported, "klingon"),
        (b'<?xml version="1.0" encoding="rot13"?>' + SCORE, Unsupported, "rot13"),
        (SCORE.decode().encode("utf-32"), Unsupported, "UTF-32"),
        (SCORE.decode().encode("utf-32-be"), Unsupported, "UTF-32"),
        (b"\xff\xfe" + SCORE.decode().encode("utf-16-le")[:-1], Unreadable, "damaged"),
        (b'<?xml version="1.0" encoding="EUC-JP"?><!-- \xff\xff -->' + SCORE, Unreadable, "damaged"),
    ],
)
def test_bytes_that_are_no_score(data: bytes, kind: type[XmlcheckError], said: str) -> None:
    error = refusal(data)
    assert type(error) is kind
    assert said in str(error)


BOMB = b"<!DOCTYPE score-partwise [" + b"".join(
    b'<!ENTITY e%d "%s">' % (n, b"&e%d;" % (n - 1) * 10 if n else b"ha") for n in range(12)
) + b"]>"  # fmt: skip


@pytest.mark.parametrize(
    "doctype",
    [
        BOMB,
        b'<!DOCTYPE score-partwise [<!ENTITY secret SYSTEM "file:///etc/hostname">]>',
        b'<!DOCTYPE score-partwise [<!ENTITY % all SYSTEM "http://127.0.0.1:9/all.dtd"> %all;]>',
        b'<!DOCTYPE score-partwise PUBLIC "a" "b>" [<!-- ] > \' --><!ELEMENT note ANY><!ENTITY n "<note/>">]>',
        b'<!-- <a> --><?b <c?><!DOCTYPE score-partwise\n[\n<!ENTITY n "]>">\n]\n>',
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_entities_of_its_own(doctype: bytes, encoding: str) -> None:
    body = b'<score-partwise a="&e11;"><part-list>&e11;&secret;&n;</part-list></score-partwise>'
    assert type(refusal((doctype + body).decode().encode(encoding))) is Unsupported


def test_a_million_elements_deep() -> None:
    deep = b"<score-partwise>" + b"<part>" * 1_000_000 + b"</part>" * 1_000_000 + b"</score-partwise>"
    assert type(refusal(deep)) is TooLarge
    assert type(refusal(deep.decode().encode("utf-16"))) is TooLarge


def test_over_a_size() -> None:
    assert type(refusal(SCORE, Limits(input=20))) is TooLarge


@pytest.mark.parametrize(
    ("entries", "kind", "said"),
    [
        ([("readme.txt", "x")], Unreadable, "0 possible scores"),
        ([("a.xml", SCORE), ("b.xml", SCORE)], Unreadable, "2 possible scores"),
        ([("../a.xml", SCORE)], Unreadable, "0 possible scores"),
        ([(INDEX, "<container/>"), ("a.xml", SCORE)], Unreadable, "names no score"),
        ([(INDEX, ""), ("a.xml", SCORE)], Unreadable, "names no score"),
        ([rootfile("a.xml")], Unreadable, "is not in it"),
        ([rootfile("../a.xml"), ("../a.xml", SCORE)], Unreadable, "outside itself"),
        ([rootfile("b\\..\\..\\a.xml"), ("a.xml", SCORE)], Unreadable, "outside itself"),
        ([rootfile("a.pdf", 'media-type="application/pdf"'), ("a.pdf", "%PDF")], Unreadable, "application/pdf"),
        ([rootfile("a.xml"), ("a.xml", "%PDF")], Unreadable, "is not XML"),
        ([rootfile("a.xml"), ("a.xml", "<html/>")], Unreadable, "'html'"),
        ([rootfile("a.xml"), ("a.xml", "")], Unreadable, "is empty"),
        ([rootfile("a.mxl"), ("a.mxl", zipped(("a.xml", SCORE)))], Unreadable, "is not XML"),
    ],
)
def test_zips_without_a_score(entries: list[tuple[str, Any]], kind: type[XmlcheckError], said: str) -> None:
    error = refusal(zipped(*entries))
    assert type(error) is kind
    assert said in str(error)


def test_zip_bombs() -> None:
    packed = zipped(rootfile("a.xml"), ("a.xml", SCORE + b" " * 11_000_000))
    assert len(packed) < 20_000
    assert "zip bomb" in str(refusal(packed))
    assert type(refusal(packed, Limits(member=1_000_000))) is TooLarge
    assert type(refusal(zipped(*((f"{n}.txt", "") for n in range(30))), Limits(entries=20))) is TooLarge


def test_all_files_of_a_zip_together() -> None:
    """All of them are unpacked to put the score back beside them: many that pass one by one may be too many together."""
    packed = zipped(rootfile("a.xml"), ("a.xml", SCORE), *((f"{n}.bin", b"lamp" * 250) for n in range(20)))
    assert "together" in str(refusal(packed, Limits(together=20_000)))
    parse(from_bytes(packed, "cue.mxl", Limits(together=21_000)))


def test_limits_of_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XMLCHECK_LIMITS", "input=20, entries=2")
    assert Limits.usual() == Limits(input=20, entries=2)
    assert type(refusal(SCORE)) is TooLarge
    monkeypatch.setenv("XMLCHECK_LIMITS", " ")
    assert Limits.usual() == Limits()
    for wrong in ("input", "input=", "input=-1", "input=0", "lamp=3", "input=1e9", "input=20,", "input=²"):
        monkeypatch.setenv("XMLCHECK_LIMITS", wrong)
        with pytest.raises(BadConfig, match=r"^XMLCHECK_LIMITS: expected input=NUMBER, .*; found "):
            from_bytes(SCORE, "cue.musicxml")


def test_only_regular_files_are_opened(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "cue.musicxml")
    for path in (tmp_path / "cue.musicxml", Path("/dev/zero"), Path("/dev/null")):
        with pytest.raises(Unreadable, match="is no regular file"):
            read_source(path)


def test_a_zip_that_lies_about_its_sizes() -> None:
    """The directory promises 50 bytes, the entry holds eleven million: no more than promised is ever unpacked."""
    packed = bytearray(zipped(("a.xml", SCORE + b" " * 11_000_000)))
    entry = packed.rindex(b"PK\x01\x02")
    packed[entry + 24 : entry + 28] = struct.pack("<L", 50)
    assert "damaged" in str(refusal(bytes(packed)))


def test_damaged_and_encrypted_zips() -> None:
    good = zipped(rootfile("a.xml"), ("a.xml", SCORE * 9))
    assert "damaged or truncated" in str(refusal(good[:-40]))
    assert "damaged or truncated" in str(refusal(b"PK\x03\x04 and no more"))
    content = bytearray(good)
    place = content.rindex(b"a.xml", 0, content.index(b"PK\x01\x02")) + 8
    content[place : place + 4] = b"\0\0\0\0"
    assert "damaged" in str(refusal(bytes(content)))
    locked = bytearray(good)
    for mark, flag in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        locked[locked.rindex(mark) + flag] |= 1
    assert type(refusal(bytes(locked))) is Unsupported
    method = bytearray(good)
    for mark, offset in ((b"PK\x03\x04", 8), (b"PK\x01\x02", 10)):
        method[method.rindex(mark) + offset] = 97
    assert type(refusal(bytes(method))) is Unsupported


def test_paths_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(Unreadable, match=r"no such file; check"):
        read_source(tmp_path / "cue.musicxml")
    with pytest.raises(Unreadable, match=r"is a folder; name a score"):
        read_source(tmp_path)
    with pytest.raises(Unreadable, match=r"cannot be read"):
        read_source(tmp_path / ("x" * 5000))
    with pytest.raises(Unreadable, match=r"cannot be read"):
        read_source("cue\0.musicxml")
    (tmp_path / "cue.musicxml").write_bytes(SCORE)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(Unreadable, match=r"cue\.musicxml: no permission to read it; change"):
        read_source(tmp_path / "cue.musicxml")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_without_permission(tmp_path: Path) -> None:
    path = tmp_path / "cue.musicxml"
    path.write_bytes(SCORE)
    path.chmod(0)
    with pytest.raises(Unreadable, match=r"no permission"):
        read_source(path)


SEEDS = ["plain", "utf-16", "zip"]


@pytest.mark.parametrize("seed", SEEDS)
def test_damaged_bytes_give_a_sentence_or_a_score(seed: str, make_finding: MakeFinding, make_report: MakeReport) -> None:
    """Bytes cut, doubled and overwritten at random (fixed seed): never another exception, and no promise broken after it."""
    head = b'<?xml version="1.0"?><!DOCTYPE score-partwise [<!ELEMENT a ANY>]><!-- <?xmlcheck begin?> -->'
    part = b'<part id="P1"><measure number="1">' + b"<note><![CDATA[x]]></note>" * 4 + b"</measure></part>"
    score = head + SCORE.replace(b"</", b"<?xmlcheck begin?><direction/><?xmlcheck end?>" + part + b"</")
    whole = {"plain": score, "utf-16": score.decode().encode("utf-16"), "zip": zipped(rootfile("a.xml"), ("a.xml", score))}[
        seed
    ]
    random = Random(seed)
    good = 0
    for _ in range(700):
        data = bytearray(whole)
        for _ in range(random.randint(1, 3)):
            start, length = random.randrange(len(data)), random.randint(0, 12)
            other = random.randrange(len(data))
            data[start : start + length] = random.choice([b"", data[other : other + length], random.randbytes(length)])
        try:
            document = parse(original(from_bytes(bytes(data), "cue")))
        except XmlcheckError:
            continue
        good += 1
        if document.starts is None:
            continue
        report = make_report(bytes(data), [make_finding(1, len(document.starts) - 1)])
        with suppress(XmlcheckError) if seed == "zip" else nullcontext():  # another entry of the zip may be damaged
            marked = annotate(bytes(data), report)
            assert from_bytes(unmark(marked), "cue").data == document.source.data
            assert parse(from_bytes(marked, "cue")).starts is not None
    assert good > 20
