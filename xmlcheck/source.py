"""The input as bytes: a file, standard input or the score of an .mxl, and the encoding, decided here once for all.

Knows files, zips and byte order marks; knows no XML beyond its declaration.
"""

from __future__ import annotations

import codecs
import hashlib
import re
import stat
import sys
from dataclasses import dataclass, replace
from pathlib import Path

from xmlcheck import lexer
from xmlcheck.container import Limits, read_member
from xmlcheck.errors import TooLarge, Unreadable, Unsupported, brief
from xmlcheck.model import Notice

__all__ = ["Limits", "Source", "from_bytes", "inserting", "original", "read_source"]

_BOMS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_SPACE = {"utf-16-le": re.compile(rb"(?:[ \t\r\n]\0)*"), "utf-16-be": re.compile(rb"(?:\0[ \t\r\n])*")}
_SPACE_8 = re.compile(rb"[ \t\r\n]*")
_XML = re.compile(rb"<\?xml\s")
_DECLARED = re.compile(rb"""<\?xml\s[^>]*?\sencoding\s*=\s*["']([A-Za-z0-9._:-]+)["']""")
_LATIN = {"cp1252": "windows-1252", "iso8859-1": "ISO-8859-1"}
"""What bytes that are not UTF-8 are most likely; the second takes any bytes."""
_CODECS = {
    "ascii": "utf-8", "utf-8": "utf-8", "utf-8-sig": "utf-8", "utf-16": "utf-8", "utf-16-le": "utf-8", "utf-16-be": "utf-8",
    "shift_jis": "cp932", "cp932": "cp932", "euc_jp": "euc_jp", "gb2312": "gb18030", "gbk": "gb18030", "gb18030": "gb18030",
    "big5": "big5", "big5hkscs": "big5hkscs", "cp950": "cp950", "euc_kr": "cp949", "cp949": "cp949",
    "koi8-r": "koi8-r", "koi8-u": "koi8-u", "mac-roman": "mac-roman", "cp437": "cp437", "cp850": "cp850", "tis-620": "tis-620",
    **{f"cp{number}": f"cp{number}" for number in range(1250, 1259)},
    **{f"iso8859-{number}": f"iso8859-{number}" for number in (*range(1, 12), *range(13, 17))},
}  # fmt: skip
"""Accepted encodings, Python's name to the codec used: ASCII-compatible, stateless, `<` never part of another character.
A national standard is read by its superset, as exports write it. Bytes that are UTF-16 are known by mark or zero bytes, so a
declaration that says UTF-16 about other bytes is a leftover."""


@dataclass(frozen=True, slots=True)
class Source:
    """One input. data: the MusicXML bytes (of .mxl: the score member). encoding: Python's codec name, without a BOM variant.

    container: the whole zip of an .mxl, else None; member: the score's name in it. sha256: of the input as given;
    member_sha256: of `data` (equal for plain files). lead: bytes before the first tag that a parser must skip: a byte order
    mark, and white space before `<?xml`.
    """

    name: str
    data: bytes
    encoding: str
    container: bytes | None
    member: str | None
    sha256: str
    member_sha256: str
    lead: int = 0
    notices: tuple[Notice, ...] = ()


def read_source(path: Path | str, limits: Limits | None = None) -> Source:
    """Reads a file, or standard input for "-". Raises Unreadable, Unsupported or TooLarge, each with one sentence."""
    limits = limits or Limits.usual()
    if str(path) == "-":
        return from_bytes(sys.stdin.buffer.read(limits.input + 1), "standard input", limits)
    path = Path(path)
    try:
        if path.is_dir():
            raise Unreadable(f"{path}: is a folder; name a score in it.")
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):  # a FIFO would be waited for, a device never ends
            raise Unreadable(f"{path}: is no regular file; copy what it holds into one.")
        if found.st_size > limits.input:
            raise _too_large(path.name, limits)
        with path.open("rb") as stream:
            data = stream.read(limits.input + 1)
    except FileNotFoundError:
        raise Unreadable(f"{path}: no such file; check the spelling and the folder.") from None
    except PermissionError:
        raise Unreadable(f"{path}: no permission to read it; change its access rights or copy it.") from None
    except (OSError, ValueError) as error:
        cause = error.strerror if isinstance(error, OSError) else error
        raise Unreadable(f"{path}: cannot be read ({cause}); copy it to a local disk and try again.") from None
    # A name that is no Unicode comes with halves of characters, which no output could hold.
    return from_bytes(data, path.name.encode("utf-8", "replace").decode(), limits)


def from_bytes(data: bytes, name: str, limits: Limits | None = None) -> Source:
    """The source of bytes in memory; a zip is known by its first bytes, never by the name. Raises as `read_source`."""
    limits = limits or Limits.usual()
    if len(data) > limits.input:
        raise _too_large(name, limits)
    sha256 = hashlib.sha256(data).hexdigest()
    container: bytes | None = None
    member: str | None = None
    notices: list[Notice] = []
    if data.startswith(b"PK"):
        container = data
        member, data, assumed = read_member(data, name, limits)
        notices += [Notice("container", assumed)] if assumed else []
    if not data.strip(b" \t\r\n\0\xef\xbb\xbf\xff\xfe"):
        raise Unreadable(f"{name}: is empty; export or copy the file again.")
    encoding, lead, remarks = _decide(data, name)
    return Source(
        name=name,
        data=data,
        encoding=encoding,
        container=container,
        member=member,
        sha256=sha256,
        member_sha256=sha256 if container is None else hashlib.sha256(data).hexdigest(),
        lead=lead,
        notices=(*notices, *remarks),
    )


def _too_large(name: str, limits: Limits) -> TooLarge:
    return TooLarge(f"{name}: larger than {limits.input} bytes; not read.")


def original(source: Source) -> Source:
    """The source without our own marks: the file as it was before it was annotated, and a notice. No marks: the same source.

    Where the rest is not what the marks recorded, the file was edited after the check; the rest is then the new original.
    """
    stripped = lexer.strip(source.data, source.encoding)
    if not stripped.marks:
        return source
    sha256 = hashlib.sha256(stripped.data).hexdigest()
    text = "an annotated file: its check marks were taken out before the check"
    if stripped.recorded != sha256:
        text += "; it was edited after it was annotated, and what is left counts as the new original"
    return replace(
        source,
        data=stripped.data,
        sha256=sha256 if source.container is None else source.sha256,
        member_sha256=sha256,
        notices=(*source.notices, Notice("marks", text)),
    )


def inserting(source: Source) -> str:
    """The codec for what is written into a source: its own, but ASCII where it is declared as ASCII, though UTF-8 reads it too.

    A strict parser would stop at a mark that is more than what the file says it is.
    """
    declared = _DECLARED.match(source.data, source.lead) if source.encoding == "utf-8" else None
    return "ascii" if declared and codecs.lookup(declared[1].decode()).name == "ascii" else source.encoding


def _decide(data: bytes, name: str) -> tuple[str, int, list[Notice]]:
    """Encoding, lead and notices: byte order mark, then zero bytes, then the declaration, then UTF-8; proved by decoding."""
    if data.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)) or data[:3] == b"\0\0\0":
        raise Unsupported(f"{name}: is encoded in UTF-32; save it as UTF-8.")
    mark, seen = next(((mark, codec) for mark, codec in _BOMS if data.startswith(mark)), (b"", ""))
    if not mark and 0 in data[:2]:
        seen = "utf-16-be" if data[0] == 0 else "utf-16-le"
    space = _SPACE.get(seen, _SPACE_8).match(data, len(mark))
    lead = space.end() if space else len(mark)
    head = lexer.units(data[lead : lead + 400], seen)[0]
    notices = []
    if lead > len(mark) and _XML.match(head):
        notices.append(Notice("encoding", "white space before the XML declaration, which a parser refuses; it was skipped"))
    declared = _DECLARED.match(head)
    said = brief(declared[1].decode()) if declared else "UTF-8"
    if not seen and said.upper().startswith("UTF-16"):
        notices.append(Notice("encoding", f"declared as {said}, but is not; read as UTF-8"))
    first = seen or _codec(said, name)
    for codec in (first, *_LATIN) if not seen and first in ("utf-8", "cp1252") else (first,):
        if _decodes(data, codec):
            if codec != first:
                notices.append(Notice("encoding", f"has bytes that are not {said}; read as {_LATIN[codec]}"))
            return codec, lead, notices
    said = seen.upper() or said
    raise Unreadable(f"{name}: is said to be {said} and has bytes that are not; it is damaged: export or copy it again.")


def _decodes(data: bytes, codec: str) -> bool:
    if not codec.startswith("utf-16") and data.isascii():
        return True
    try:
        data.decode(codec)
    except UnicodeDecodeError:
        return False
    return True


def _codec(said: str, name: str) -> str:
    try:
        return _CODECS[codecs.lookup(said).name]
    except (LookupError, ValueError):
        raise Unsupported(f"{name}: is encoded in {said}, which is not read here; save it as UTF-8.") from None
