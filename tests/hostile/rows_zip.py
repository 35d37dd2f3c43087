"""Rows: compressed scores. Layout of a zip: the zip application note, sections 4.3 and 4.4; container: MusicXML 4.0, .mxl."""

from __future__ import annotations

import stat
import struct
import zipfile

from tests.hostile.row import Row, index, patched, score, zipped

GOOD = score()
WHOLE = zipped(index("cue.xml"), ("cue.xml", GOOD))


def _link(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.create_system, info.external_attr = 3, (stat.S_IFLNK | 0o777) << 16
    return info


def _twice() -> bytes:
    """Two entries of one name; the second is renamed in the bytes, because zipfile warns of it."""
    other = score(title="Another")
    return zipped(index("cue.xml"), ("cue.xml", GOOD), ("cue.xm_", other)).replace(b"cue.xm_", b"cue.xml")


def _crc() -> bytes:
    return patched(WHOLE, b"cue.xml", local=14, directory=16, to=b"\1\2\3\4")


def _promised(size: int) -> bytes:
    """The directory says that the score has this size."""
    return patched(WHOLE, b"cue.xml", directory=24, to=struct.pack("<L", size))


def _many_large() -> bytes:
    """Ten entries beside the score, each said to be 400 MiB."""
    data = zipped(index("cue.xml"), ("cue.xml", GOOD), *((f"cover{n}.bin", "x") for n in range(10)))
    return patched(data, b"cover", directory=24, to=struct.pack("<L", 400 << 20))


ZIP = (
    Row("a zip bomb: 64 MiB of blanks in 64 KiB", zipped(index("cue.xml"), ("cue.xml", GOOD + b" " * (64 << 20))),
        "refused", "zip bomb"),
    Row("a zip of 20,000 entries", zipped(index("cue.xml"), ("cue.xml", GOOD), *((f"{n}.txt", "") for n in range(20_000))),
        "refused", "entries"),
    Row("a score said to be 600 MiB", _promised(600 << 20), "refused", "unpacks to"),
    Row("a score said to be smaller than it is", _promised(50), "refused", "damaged"),
    Row("a score said to be larger than it is", _promised(5_000_000), "checked"),
    Row("ten entries of 400 MiB beside the score", _many_large(), "refused", "together"),
    Row("an entry that leads out of the folder (../)", zipped(index("cue.xml"), ("../../evil.xml", GOOD), ("cue.xml", GOOD)),
        "checked"),
    Row("an entry with an absolute path", zipped(index("cue.xml"), ("/etc/evil.xml", GOOD), ("cue.xml", GOOD)), "checked"),
    Row("the index names a place outside (../)", zipped(index("../cue.xml"), ("../cue.xml", GOOD)), "refused", "outside itself"),
    Row("the index names a place outside (..\\)", zipped(index("a\\..\\..\\cue.xml"), ("cue.xml", GOOD)),
        "refused", "outside itself"),
    Row("the index names an absolute path", zipped(index("/etc/hostname"), ("cue.xml", GOOD)), "refused", "is not in it"),
    Row("the index names an address on the network", zipped(index("http://127.0.0.1:9/cue.xml"), ("cue.xml", GOOD)),
        "refused", "is not in it"),
    Row("the index names what is not there", zipped(index("lamp.xml"), ("cue.xml", GOOD)), "refused", "is not in it"),
    Row("the index names a picture", zipped(index("a.pdf", 'media-type="application/pdf"'), ("a.pdf", "%PDF")),
        "refused", "not MusicXML"),
    Row("the index names nothing", zipped(("META-INF/container.xml", "<container/>"), ("cue.xml", GOOD)),
        "refused", "names no score"),
    Row("an index with entities of its own",
        zipped(("META-INF/container.xml", '<!DOCTYPE c [<!ENTITY a "cue.xml">]><container><rootfile full-path="&a;"/></container>'),
               ("cue.xml", GOOD)), "refused", "is not in it"),
    Row("an index of 20 MB", zipped(("META-INF/container.xml", "<container>" + " " * 20_000_000), ("cue.xml", GOOD)),
        "refused"),
    Row("no index and one score", zipped(("cue.xml", GOOD)), "checked", "its only score"),
    Row("no index and two scores", zipped(("a.xml", GOOD), ("b.xml", GOOD)), "refused", "2 possible scores"),
    Row("two entries of the score's name", _twice(), "checked", "more than once"),
    Row("an encrypted score", patched(WHOLE, b"cue.xml", local=6, directory=8, to=b"\1"), "refused", "encrypted"),
    Row("an unknown kind of compression", patched(WHOLE, b"cue.xml", local=8, directory=10, to=b"\x61"), "refused", "packed"),
    Row("a zip in the zip", zipped(index("cue.mxl"), ("cue.mxl", WHOLE)), "refused", "is not XML"),
    Row("a truncated zip", WHOLE[:-40], "refused", "damaged or truncated"),
    Row("a zip's first bytes only", b"PK\x03\x04", "refused", "damaged or truncated"),
    Row("a wrong checksum", _crc(), "refused", "damaged"),
    Row("an empty zip", b"PK\x05\x06" + b"\0" * 18, "refused", "0 possible scores"),
    Row("the score is a symbolic link", zipped(index("cue.xml"), (_link("cue.xml"), "/etc/hostname")), "refused", "link"),
    Row("a symbolic link beside the score", zipped(index("cue.xml"), (_link("lamp"), "/etc/hostname"), ("cue.xml", GOOD)),
        "checked"),
    Row("a score in the zip with entities", zipped(index("cue.xml"), ("cue.xml", b'<!DOCTYPE a [<!ENTITY b "c">]>' + GOOD)),
        "refused", "entities"),
    Row("entries with escape sequences in their names",
        zipped(index("cue.xml"), ("\x1b[31mlamp\n.txt", "x"), ("cue.xml", GOOD)), "checked"),
    Row("a score whose name in the zip steers a terminal",
        zipped(("\x1b[31mlamp.xml", GOOD)), "checked", "its only score"),
)  # fmt: skip
