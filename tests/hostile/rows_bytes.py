"""Rows: size, depth, floods of attributes and text, encodings.

Well-formedness, encodings and characters: XML 1.0, sections 2.2, 4.3.3 and appendix F. The parser's own limits (depth 256, text
10 MB): libxml2, parserInternals.h.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

from tests.hostile.row import Row, score

MEBI = 1 << 20
GOOD = score()


def _sparse(folder: Path) -> Path:
    path = folder / "cue.musicxml"
    with path.open("wb") as stream:
        stream.write(GOOD)
        stream.truncate(512 * MEBI + 1)
    return path


def _deep(levels: int) -> str:
    return "<other>" * levels + "</other>" * levels


def _attributes(count: int) -> str:
    return "<notations " + " ".join(f'a{n}="1"' for n in range(count)) + "/>"


def _said(encoding: str, data: bytes = GOOD) -> bytes:
    return f'<?xml version="1.0" encoding="{encoding}"?>'.encode() + data


UMLAUT = score(title="Brücke")
SIZE = (
    Row("an empty file", b"", "refused", "is empty"),
    Row("a byte order mark and nothing else", b"\xef\xbb\xbf", "refused", "is empty"),
    Row("white space and zero bytes only", b" \n\0\0\n" * 1000, "refused", "is empty"),
    Row("one byte more than 512 MiB (a sparse file)", _sparse, "refused", "larger than"),
    Row("a score cut in the middle", GOOD[:-60], "refused", "stops in the middle"),
    Row("two scores in one file", GOOD + GOOD, "refused", "not well-formed"),
    Row("100,000 random bytes", Random(12).randbytes(100_000), "refused"),
    Row("a MIDI file", b"MThd\0\0\0\x06\0\x01\0\x02\x01\xe0MTrk", "refused", "is not XML"),
    Row("another kind of XML", b"<html><body/></html>", "refused", "html"),
    Row("200 levels of unknown elements in a note", score(note=_deep(200)), "checked"),
    Row("10,000 levels of unknown elements", score(note=_deep(10_000)), "refused", "limit"),
    Row("1,000,000 levels of unknown elements", score(note=_deep(1_000_000)), "refused", "limit"),
    Row("1,000,000 open tags that nothing closes", b"<score-partwise>" + b"<part>" * 1_000_000, "refused"),
    Row("a text of 1 MB", score(title="lamp " * 200_000), "checked"),
    Row("a text of 11 MB", score(title="lamp " * 2_200_000), "refused", "limit"),
    Row("an attribute of 1 MB", score(note=f'<notations id="{"x" * MEBI}"/>'), "checked"),
    Row("an attribute of 11 MB", score(note=f'<notations id="{"x" * 11 * MEBI}"/>'), "refused", "limit"),
    Row("10,000 attributes on one element", score(note=_attributes(10_000)), "checked"),
    Row("300,000 attributes on one element", score(note=_attributes(300_000)), "checked"),
    Row("the same attribute twice", score(note='<notations id="a" id="b"/>'), "refused", "not well-formed"),
    Row("10,000 namespaces on the root", score(root="".join(f' xmlns:n{n}="urn:n{n}"' for n in range(10_000))), "checked"),
    Row("10,000 elements, each with a namespace of its own",
        score(note="".join(f'<n{n}:a xmlns:n{n}="urn:n{n}"/>' for n in range(10_000))), "checked"),
    Row("an undeclared namespace prefix", score(note="<other:thing/>"), "refused", "not well-formed"),
    Row("the root in a namespace", GOOD.replace(b"<score-partwise", b'<score-partwise xmlns="urn:x"'), "refused", "namespace"),
    Row("1,000,000 comments", score(first="<!---->" * 1_000_000), "checked"),
    Row("100,000 processing instructions", score(first="<?lamp lit?>" * 100_000), "checked"),
    Row("a tag name of 1 MB", score(note=f"<{'x' * MEBI}/>"), "refused", "too long"),
)  # fmt: skip
ENCODING = (
    Row("UTF-8 that says it is UTF-16", _said("UTF-16", UMLAUT), "checked", "declared as UTF-16"),
    Row("Latin-1 bytes that say they are UTF-8", _said("UTF-8", UMLAUT.decode().encode("latin-1")), "checked", "read as"),
    Row("an unknown encoding", _said("lamplight-8"), "refused", "save it as UTF-8"),
    Row("UTF-7", _said("UTF-7"), "refused", "save it as UTF-8"),
    Row("an encoding that Python knows and XML does not (rot13)", _said("rot13"), "refused", "save it as UTF-8"),
    Row("UTF-32", GOOD.decode().encode("utf-32"), "refused", "UTF-32"),
    Row("UTF-16 with the mark of the other byte order", b"\xfe\xff" + GOOD.decode().encode("utf-16-le"), "refused"),
    Row("the mark of UTF-16 before UTF-8", b"\xff\xfe" + GOOD, "refused"),
    Row("the mark of UTF-8 before UTF-16", b"\xef\xbb\xbf" + GOOD.decode().encode("utf-16-le"), "refused"),
    Row("the mark of UTF-8 twice", b"\xef\xbb\xbf\xef\xbb\xbf" + GOOD, "checked"),
    Row("the mark of UTF-8 and a declaration of UTF-16", b"\xef\xbb\xbf" + _said("UTF-16"), "checked"),
    Row("UTF-16 cut within a character", b"\xff\xfe" + GOOD.decode().encode("utf-16-le")[:-1], "refused", "damaged"),
    Row("half a character (lone surrogate) in UTF-8", score(title="Br\ud800cke"), "checked", "read as"),
    Row("overlong UTF-8", GOOD.replace(b"calmly", b"calm\xc0\xaf"), "checked", "read as"),
    Row("a zero byte in a text", GOOD.replace(b"calmly", b"calm\0ly"), "refused", "not well-formed"),
    Row("a zero byte in a tag", GOOD.replace(b"<note>", b"<no\0te>"), "refused", "not well-formed"),
    Row("zero bytes after the score", GOOD + b"\0" * 64, "refused"),
    Row("a zero byte by reference", GOOD.replace(b"calmly", b"&#0;"), "refused", "not well-formed"),
    Row("an escape byte by reference", GOOD.replace(b"calmly", b"&#x1b;[31m"), "refused", "not well-formed"),
    Row("an escape byte in a text", GOOD.replace(b"calmly", b"\x1b[31m"), "refused", "not well-formed"),
)  # fmt: skip
