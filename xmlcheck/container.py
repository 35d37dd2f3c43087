"""Compressed MusicXML (.mxl): the score inside a zip, read within limits and put back without touching its neighbours.

Source: the container format of MusicXML 4.0 (tutorial "Compressed .MXL Files" and container reference): the first
<rootfile> of META-INF/container.xml is the score; a `mimetype` entry came with 3.1 and may be missing.
"""

from __future__ import annotations

import io
import lzma
import os
import re
import stat
import struct
import warnings
import zipfile
import zlib
from dataclasses import dataclass, fields
from functools import lru_cache
from html import unescape
from pathlib import PurePosixPath

from xmlcheck import lexer
from xmlcheck.errors import BadConfig, TooLarge, Unreadable, Unsupported, brief

_INDEX = "meta-inf/container.xml"
_DECLARATION = re.compile(rb"\A\s*<\?xml[^>]*>")
_ATTRIBUTE = re.compile(r"""([\w:-]+)\s*=\s*(?:"([^"]*)"|'([^']*)')""")
_BROKEN = (zipfile.BadZipFile, zlib.error, lzma.LZMAError, struct.error, EOFError, OSError, ValueError, OverflowError)
_MEBI = 1 << 20
VARIABLE = "XMLCHECK_LIMITS"
"""Environment variable: limits by name, `name=number` with commas between; for trusted files that are over one."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Safety limits: sizes in bytes; ratio is unpacked to packed size, asked of members over `ratio_from` bytes only.

    together: of all members of a zip, unpacked; all are unpacked to put a score back beside them.
    """

    input: int = 512 * _MEBI
    member: int = 512 * _MEBI
    together: int = 1024 * _MEBI
    ratio: int = 200
    ratio_from: int = 10 * _MEBI
    entries: int = 10_000

    @classmethod
    def usual(cls) -> Limits:
        """The limits of this process: those above, or what the environment says (`XMLCHECK_LIMITS="input=2000000000"`).

        Raises BadConfig for a name that is no limit, or a value that is no whole number above 0.
        """
        text = os.environ.get(VARIABLE, "")
        return _limits(text) if text.strip() else cls()


@lru_cache(maxsize=4)
def _limits(text: str) -> Limits:
    given: dict[str, int] = {}
    names = [item.name for item in fields(Limits)]
    for item in text.split(","):
        name, _, number = (piece.strip() for piece in item.partition("="))
        if name not in names or not (number.isascii() and number.isdigit() and int(number)):
            raise BadConfig(f"{VARIABLE}: expected {', '.join(f'{name}=NUMBER' for name in names)}; found {item.strip()!r}.")
        given[name] = int(number)
    return Limits(**given)


def read_member(data: bytes, name: str, limits: Limits) -> tuple[str, bytes, str | None]:
    """The score of a zip: its member name, its bytes, and what had to be assumed (None: nothing)."""
    with _opened(data, name, limits) as archive:
        infos = [info for info in archive.infolist() if not info.filename.endswith("/")]
        files = {info.filename: info for info in infos}
        index = next((info for path, info in files.items() if path.lower() == _INDEX), None)
        if index is not None:
            path, assumed = _first_rootfile(_read(archive, index, name, limits), name), None
            # A UTF-8 name without the zip's UTF-8 flag is listed as if it were code page 437.
            found = [member for member in (path, path.encode().decode("cp437")) if member in files]
            if not found:
                raise Unreadable(
                    f"{name}: the score {brief(repr(path))} that its container names is not in it; export the file again."
                )
            member = found[0]
        else:
            scores = [path for path in files if path.lower().endswith((".xml", ".musicxml")) and _inside(path)]
            if len(scores) != 1:
                raise Unreadable(
                    f"{name}: a zip without META-INF/container.xml and with {len(scores)} possible scores; "
                    "take the score out of it and check that."
                )
            member, assumed = scores[0], f"no META-INF/container.xml; read its only score, {scores[0]}"
        if stat.S_ISLNK(files[member].external_attr >> 16):
            raise Unreadable(f"{name}: the score in it, {brief(member)}, is a symbolic link and no file; pack the file itself.")
        if sum(info.filename == member for info in infos) > 1:
            assumed = "; ".join(filter(None, (assumed, f"{member} is in the zip more than once; the last was read")))
        return member, _read(archive, files[member], name, limits), assumed


def replace_member(data: bytes, member: str, score: bytes, name: str, limits: Limits | None = None) -> bytes:
    """The zip with other bytes in `member`. All other entries keep content, order, date and kind of compression."""
    limits = limits or Limits.usual()
    out = io.BytesIO()
    with _opened(data, name, limits) as archive, zipfile.ZipFile(out, "w") as copy, warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # two entries of one name are kept as they are
        copy.comment = archive.comment
        infos = archive.infolist()
        last = max(place for place, info in enumerate(infos) if info.filename == member)
        for place, info in enumerate(infos):
            content = score if place == last else _read(archive, info, name, limits)
            copy.writestr(info, content, info.compress_type)
    return out.getvalue()


def _opened(data: bytes, name: str, limits: Limits) -> zipfile.ZipFile:
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (*_BROKEN, NotImplementedError) as error:
        raise Unreadable(f"{name}: a damaged or truncated .mxl ({brief(error)}); export or copy the file again.") from None
    if not all(info.filename for info in archive.filelist):
        raise Unreadable(f"{name}: a damaged .mxl (an entry without a name); export or copy the file again.")
    if len(archive.filelist) > limits.entries:
        raise TooLarge(
            f"{name}: a zip of {len(archive.filelist)} entries, more than {limits.entries}; take the score out of it."
        )
    together = sum(info.file_size for info in archive.filelist)
    if together > limits.together:
        raise TooLarge(
            f"{name}: its entries unpack to {together} bytes together, more than {limits.together}; take the score out of it."
        )
    return archive


def _read(archive: zipfile.ZipFile, info: zipfile.ZipInfo, name: str, limits: Limits) -> bytes:
    if info.flag_bits & 1:
        raise Unsupported(
            f"{name}: {brief(info.filename)} is encrypted; unpack it with its password and check the score in it."
        )
    if info.file_size > limits.member:
        raise TooLarge(
            f"{name}: {brief(info.filename)} unpacks to {info.file_size} bytes, more than {limits.member}; not read."
        )
    if info.file_size > limits.ratio_from and info.file_size > limits.ratio * max(1, info.compress_size):
        raise TooLarge(
            f"{name}: {brief(info.filename)} unpacks to more than {limits.ratio} times its packed size, as a zip bomb does; "
            "unpack it by hand if you trust it."
        )
    try:
        return archive.read(info)
    except _BROKEN as error:
        raise Unreadable(
            f"{name}: {brief(info.filename)} in it is damaged ({brief(error)}); export or copy the file again."
        ) from None
    except RuntimeError as error:  # NotImplementedError is one
        raise Unsupported(
            f"{name}: {brief(info.filename)} is packed in a way that cannot be read ({brief(error)}); pack it anew."
        ) from None


def _first_rootfile(index: bytes, name: str) -> str:
    """The path of the first <rootfile>. Read without a parser: the tutorial's own example is not well-formed (`>` for `?>`)."""
    encoding = "utf-16-le" if index[:2] == b"\xff\xfe" else "utf-16-be" if index[:2] == b"\xfe\xff" else "utf-8"
    text = _DECLARATION.sub(b"", lexer.units(index, encoding)[0].removeprefix(b"\xef\xbb\xbf"))
    tag = next((tag for tag in lexer.tags(text, ("rootfile",)) if not tag.closes), None)
    words = text[tag.start : tag.end].decode("utf-8", "replace") if tag else ""
    values = {key: unescape(double or single) for key, double, single in _ATTRIBUTE.findall(words)}
    path, kind = values.get("full-path", "").replace("\\", "/").removeprefix("./").lstrip("/"), values.get("media-type")
    if not path:
        raise Unreadable(f"{name}: its META-INF/container.xml names no score; take the score out of the zip and check that.")
    if not _inside(path):
        raise Unreadable(f"{name}: its container names {brief(repr(path))}, a place outside itself; not read.")
    if kind is not None and "xml" not in kind.lower():
        raise Unreadable(
            f"{name}: the first file that its container names is {brief(kind)}, not MusicXML; export the file again."
        )
    return path


def _inside(path: str) -> bool:
    return ".." not in PurePosixPath(path.replace("\\", "/")).parts
