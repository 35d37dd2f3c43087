"""Players' copies of a whole folder: the originals come back byte for byte, and music21 reads the same notes from both.

music21 (https://www.music21.org/) is another reader of MusicXML; the schema is that of the standard, where it is installed.
"""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from xmlcheck.annotation import unmark
from xmlcheck.cli import main
from xmlcheck.comparing.second_reader import second_reading
from xmlcheck.handing.answer import look
from xmlcheck.handing.copies import player_copies
from xmlcheck.testing import xsd

DEMO = Path(__file__).parents[2] / "corpus" / "demo" / "handoff"
SOURCE = DEMO / "1m1 Low Water" / "1m1 Koto rev B.musicxml"
KOTO = 'pitch_standard = 440\n[players.x]\npart = "Koto"\ninstrument = "koto"\nreads = "tablature"\n'
READERS = """
[players.numbers]
part = "Shakuhachi"
reads = "numbered"
[players.strings]
part = "Koto"
instrument = "koto"
reads = "tablature"
tablature = "string numbers"
language = "ja"
[players.both]
part = "Violin"
reads = "numbered"
key = "F"
"""


def asked(tmp_path: Path) -> Path:
    """The demo, its players asking for everything that a copy can hold."""
    folder = tmp_path / "all"
    shutil.copytree(DEMO, folder)
    text = (folder / "handoff.toml").read_text(encoding="utf-8")
    head, tail = text.split("[players.", 1)
    (folder / "handoff.toml").write_text(head + READERS + "[roles]" + tail.split("[roles]")[1], encoding="utf-8")
    return folder


def test_the_originals_come_back_and_another_reader_finds_the_same_notes(tmp_path: Path) -> None:
    folder = asked(tmp_path)
    numbers = 0
    for name, copy in player_copies(look(folder)):
        original = (folder / name.replace(".player.", ".")).read_bytes()
        assert unmark(copy) == original, name
        numbers += copy.count(b'placement="below"') - original.count(b'placement="below"')
        verdict = second_reading(original, copy)
        assert verdict.same is True, (name, verdict)
        if xsd.available():
            assert set(xsd.errors(copy)) <= set(xsd.errors(original)), name
    assert numbers > 100


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "iso-8859-1"])
@pytest.mark.parametrize("packed", [False, True])
def test_check_writes_them_in_any_encoding(encoding: str, packed: bool, tmp_path: Path) -> None:
    text = SOURCE.read_text(encoding="utf-8").replace("UTF-8", encoding).replace("utf-8", encoding)
    data = text.encode(encoding, "xmlcharrefreplace")
    path, copied = (tmp_path / f"koto{middle}.{'mxl' if packed else 'musicxml'}" for middle in ("", ".player"))
    if packed:
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr(
                "META-INF/container.xml", '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>'
            )
            archive.writestr("a.xml", data)
    else:
        path.write_bytes(data)
    (tmp_path / "xmlcheck.toml").write_text(KOTO, encoding="utf-8")
    run = CliRunner().invoke(main, ["check", str(path), "--player-notes", "--language", "zh"])
    assert run.exit_code == 0, run.output
    copy = copied.read_bytes()
    assert inside(unmark(copy), packed, tmp_path) == data
    told = inside(copy, packed, tmp_path).decode(encoding)
    assert ("定弦" if encoding.startswith("utf") else "&#23450;&#24358;") in told
    assert told.count('placement="below"') > text.count('placement="below"')


def inside(data: bytes, packed: bool, tmp_path: Path) -> bytes:
    """The score member of a packed file, else the file."""
    if not packed:
        return data
    (tmp_path / "other.zip").write_bytes(data)
    with zipfile.ZipFile(tmp_path / "other.zip") as archive:
        return archive.read("a.xml")


def test_the_command_line(tmp_path: Path) -> None:
    source = tmp_path / "koto.musicxml"
    shutil.copy(SOURCE, source)
    run = CliRunner().invoke(main, ["check", str(source), "--player-notes", "--language", "tlh"])
    assert run.exit_code == 0
    assert 'no words in the language "tlh"' in run.stderr
    assert (tmp_path / "koto.player.musicxml").exists()
    assert CliRunner().invoke(main, ["check", str(source), "--language", "de"]).exit_code == 2
    both = [str(source), str(tmp_path / "koto.player.musicxml")]
    run = CliRunner().invoke(main, ["check", *both, "--player-notes"])
    assert run.exit_code == 2
    assert "koto.player.musicxml: is an input of this run" in run.stderr
    assert CliRunner().invoke(main, ["handoff", str(DEMO), "--language", "de"]).exit_code == 2
    sheets = str(tmp_path / "sheets")
    run = CliRunner().invoke(main, ["handoff", str(DEMO), "--sheets", sheets, "--player-notes", "--language", "de", "-q"])
    assert run.exit_code == 0
    copy = (tmp_path / "sheets" / "1m1 Low Water" / "1m1 Koto rev B.player.musicxml").read_text(encoding="utf-8")
    assert "Stimmton: A4 = 440 Hz" in copy
    assert "hanae" not in copy
