"""Spoils bytes as accidents and attackers do: cut, flipped, swapped, repeated, renamed, flooded, nested, absurd numbers.

Each takes bytes and a pen and gives other bytes; none knows what the file means beyond what stands between `<` and `>`.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable

from tests.fuzz.pen import Pen
from xmlcheck.errors import XmlcheckError
from xmlcheck.source import from_bytes

Mutation = Callable[[bytes, Pen], bytes]

NUMBERS = (
    b"", b"0", b"-1", b"1", b"128", b"-0", b"0.5", b"1e309", b"-1e309", b"1e18", b"1e-18", b"1e-400", b"NaN", b"-NaN", b"sNaN",
    b"INF", b"Infinity", b"1000000000000", b"-1000000000000", b"9" * 64, b"9" * 5000, b"0.333333333333333333", b"1/3", b"0x10",
    b"1_000", b"+4", b" 4 ", b"4.0", b"\xd9\xa3", b"\xc2\xb2", b"nan(1)", b"--1", b"1 1", b"&#48;", b"\xe2\x88\x92\x31",
)  # fmt: skip
"""What numbers are replaced by. The last are digits to Python or to a reader's eye, and none to the standard."""
_NUMBER = re.compile(rb"(?<=[>\"'])[ \t]*[-+]?\d+(?:\.\d+)?(?=[<\"'])")
_TAG = re.compile(rb"<(/?)([A-Za-z][\w-]*)")
_ELEMENT = re.compile(rb"<(note|direction|attributes|backup|forward|barline|harmony|measure|part)[\s>].*?</\1>", re.DOTALL)
_TEXT = re.compile(rb"(?<=>)[^<>\s][^<>]*(?=<)")
_VALUE = re.compile(rb"=\s*\"[^\"<]*\"")
_NAMES = (
    b"note", b"measure", b"part", b"attributes", b"direction", b"words", b"backup", b"chord", b"grace", b"rest", b"pitch", b"time",
    b"key", b"sound", b"score-part", b"score-partwise", b"score-timewise", b"part-list", b"harmony", b"transpose", b"x", b"xmlcheck",
)  # fmt: skip
_TEXTS = (
    b"", b" ", b"&#0;", b"&amp;", b"&nosuch;", b"&eacute;", b"]]>", b"<!--", b"-->", b"<![CDATA[<note>]]>", b"<?xmlcheck begin?>",
    b"<?xmlcheck end?>", b"<?xmlcheck file sha256=\"" + b"0" * 64 + b"\"?>", b"[check 1] x", b"\x00", b"\xff", b"\xed\xa0\x80",
    "\N{RIGHT-TO-LEFT OVERRIDE}\N{MUSICAL SYMBOL G CLEF}".encode(), b"A" * 70_000, b"pizz.", b"to Piccolo", b"a 2", b"div. a 12",
    b"Horn in F 1.2", b"x=1e309", b"\\", b"%s{0}", b"{", b"[[", b"Corni 1-99999999", b"4'33\"",
)  # fmt: skip

PIECES = tuple(
    piece.encode() for piece in (
        "9", "1. ", "I. ", "(", "[", "a ", "a 2 ", "in F ", "1-", "(1", "+", "/", "and ", "Horn & ", "\u0300", "\u5341", "1.8 ", "tune ",
        "E to D ", "string IV = C ", "pizz. ", "8va ", "\u2669 = 120 ", "q=", "1/", "ix", "also ", "div. ", "%", "{", "[[", "]]", "\u0663",
        "b", "#", "Violin I ", ", ", "; ", " ", "\t", "\n", "... ", "- ", "D.S. ", "to Coda ", "1st ", "desk 1 ", "17-string ", "9. Horn ",
        "3+", "1,", "&#32;", "C4 ", "-1", "A", "e", "\u00b2", "\U0001d11e", "Solo ", "con sord. ",
    )
)  # fmt: skip


def truncated(data: bytes, pen: Pen) -> bytes:
    return data[: pen.number(0, len(data))]


def flipped(data: bytes, pen: Pen) -> bytes:
    out = bytearray(data)
    for _ in range(pen.number(1, 8)):
        out[pen.number(0, len(out) - 1)] ^= 1 << pen.number(0, 7)
    return bytes(out)


def overwritten(data: bytes, pen: Pen) -> bytes:
    at = pen.number(0, len(data) - 1)
    return data[:at] + bytes(pen.number(0, 255) for _ in range(pen.number(1, 6))) + data[at + pen.number(0, 6) :]


def _block(data: bytes, pen: Pen) -> tuple[int, int]:
    start = pen.number(0, len(data) - 1)
    return start, min(len(data), start + pen.number(1, 600))


def dropped(data: bytes, pen: Pen) -> bytes:
    start, end = _block(data, pen)
    return data[:start] + data[end:]


def repeated(data: bytes, pen: Pen) -> bytes:
    start, end = _block(data, pen)
    return data[:end] + data[start:end] * pen.number(1, 30) + data[end:]


def moved(data: bytes, pen: Pen) -> bytes:
    start, end = _block(data, pen)
    rest = data[:start] + data[end:]
    at = pen.number(0, len(rest))
    return rest[:at] + data[start:end] + rest[at:]


def _at(pattern: re.Pattern[bytes], data: bytes, pen: Pen) -> re.Match[bytes] | None:
    found = list(pattern.finditer(data))
    return pen.pick(found) if found else None


def _replaced(pattern: re.Pattern[bytes], options: tuple[bytes, ...], data: bytes, pen: Pen) -> bytes:
    for _ in range(pen.number(1, 5)):
        found = _at(pattern, data, pen)
        if found is not None:
            data = data[: found.start()] + pen.pick(options) + data[found.end() :]
    return data


def numbers(data: bytes, pen: Pen) -> bytes:
    return _replaced(_NUMBER, NUMBERS, data, pen)


def texts(data: bytes, pen: Pen) -> bytes:
    return _replaced(_TEXT, _TEXTS, data, pen)


def stuffed(data: bytes, pen: Pen) -> bytes:
    """A text or value filled with one piece over and over, which is what slow patterns are slow on."""
    piece = pen.pick(PIECES) * pen.pick((1, 40, 2000))
    return _replaced(pen.pick((_TEXT, _TEXT, _VALUE)), (piece, b'="' + piece + b'"'), data, pen)


def values(data: bytes, pen: Pen) -> bytes:
    options = tuple(b'="' + one.replace(b'"', b"'") + b'"' for one in (*NUMBERS, *_TEXTS))
    return _replaced(_VALUE, options, data, pen)


def renamed(data: bytes, pen: Pen) -> bytes:
    """One element's name everywhere, or one tag's."""
    found = _at(_TAG, data, pen)
    if found is None:
        return data
    new = pen.pick(_NAMES)
    if pen.maybe(70):
        return re.sub(rb"(</?)" + re.escape(found[2]) + rb"(?=[\s/>])", rb"\1" + new, data)
    return data[: found.start(2)] + new + data[found.end(2) :]


def elements_moved(data: bytes, pen: Pen) -> bytes:
    """A whole note, bar or direction dropped, written many times over, or put in another's place: mostly well-formed still."""
    found, other = _at(_ELEMENT, data, pen), _at(_ELEMENT, data, pen)
    if found is None or other is None:
        return data
    kind = pen.number(0, 2)
    if kind == 0:
        return data[: found.start()] + data[found.end() :]
    if kind == 1:
        return data[: found.end()] + found[0] * pen.number(1, 40) + data[found.end() :]
    return data[: other.start()] + found[0] + data[other.end() :]


def flooded(data: bytes, pen: Pen) -> bytes:
    """One tag with very many attributes."""
    found = _at(_TAG, data, pen)
    if found is None or found[1]:
        return data
    many = b"".join(b' a%d="%d"' % (number, number) for number in range(pen.pick((1, 100, 5000))))
    return data[: found.end()] + many + data[found.end() :]


def nested(data: bytes, pen: Pen) -> bytes:
    """One element inside itself many times."""
    found = _at(_TAG, data, pen)
    depth = pen.pick((1, 100, 254, 300, 5000))
    if found is None or found[1]:
        return data
    return data[: found.start()] + (b"<%s>" % found[2]) * depth + (b"</%s>" % found[2]) * depth + data[found.start() :]


PLAIN: tuple[Mutation, ...] = (
    numbers, texts, values, stuffed, renamed, elements_moved, numbers, texts, renamed, elements_moved,
    truncated, flipped, overwritten, dropped, repeated, moved, flooded, nested,
)  # fmt: skip


def mutated(data: bytes, pen: Pen) -> tuple[str, bytes]:
    """One to three mutations, and the first one's name. Of an .mxl its members are spoilt, and it is packed anew, or its bytes."""
    if data.startswith(b"PK") and pen.maybe(70):
        return "zip " + (found := _zipped(data, pen))[0], found[1]
    mutation = pen.pick(PLAIN)
    name = mutation.__name__
    for _ in range(pen.pick((1, 1, 1, 2, 3))):
        data = mutation(data, pen) if data else data
        mutation = pen.pick(PLAIN)
    return name, data


def _zipped(data: bytes, pen: Pen) -> tuple[str, bytes]:
    out, name = io.BytesIO(), "entries"
    try:
        from_bytes(data, "seed")
    except XmlcheckError:
        return name, data
    with zipfile.ZipFile(io.BytesIO(data)) as archive, zipfile.ZipFile(out, "w") as copy:
        infos = archive.infolist()
        spoilt = pen.pick(infos)
        for info in infos:
            content = archive.read(info)
            if info is spoilt and content:
                name, content = mutated(content, pen)
            copy.writestr(
                zipfile.ZipInfo(info.filename), content, pen.pick((zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED, zipfile.ZIP_BZIP2))
            )
            if pen.maybe(5):
                copy.writestr(
                    zipfile.ZipInfo(pen.pick(("extra.xml", "../up.musicxml", "META-INF/container.xml ", "a/"))), content
                )
    return name, out.getvalue()
