"""`unmark`: the original back, proved, and never over another file."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

import xmlcheck
from xmlcheck.cli.unmark import original_name

Run = Callable[..., Result]


@pytest.fixture
def checked(run: Run, cue: Path, house: Path) -> Path:
    """An annotated file whose original is no longer beside it."""
    run("check", cue, "--plugin", house)
    return cue.parent / "cue.checked.musicxml"


def test_the_original_comes_back_byte_for_byte(run: Run, cue: Path, checked: Path) -> None:
    before = cue.read_bytes()
    cue.unlink()
    result = run("unmark", checked)
    assert result.exit_code == 0
    assert cue.read_bytes() == before
    assert "wrote" in result.stderr
    assert result.stdout == ""


def test_an_original_that_is_there_is_said_to_be_the_same(run: Run, cue: Path, checked: Path) -> None:
    result = run("unmark", checked)
    assert result.exit_code == 0
    assert "is there already and is this very file" in result.stderr


def test_another_file_of_that_name_is_not_overwritten(run: Run, cue: Path, checked: Path) -> None:
    cue.write_bytes(b"<other/>")
    result = run("unmark", checked)
    assert result.exit_code == 2
    assert "is there already and differs" in result.stderr
    assert cue.read_bytes() == b"<other/>"
    assert run("unmark", checked, "--out", cue.parent / "back").exit_code == 0
    assert xmlcheck.unmark(checked.read_bytes()) == (cue.parent / "back" / "cue.musicxml").read_bytes()


def test_an_edited_file_is_refused_unless_anyway(run: Run, cue: Path, checked: Path) -> None:
    before = cue.read_bytes()
    checked.write_bytes(checked.read_bytes().replace(b"<step>D</step>", b"<step>E</step>"))
    out = cue.parent / "back"
    result = run("unmark", checked, "--out", out)
    assert result.exit_code == 2
    assert not out.exists()
    assert "--anyway" in result.stderr
    assert run("unmark", checked, "--out", out, "--anyway").exit_code == 0
    assert (out / "cue.musicxml").read_bytes() == before.replace(b"<step>D</step>", b"<step>E</step>")


def test_standard_input_goes_to_standard_output(run: Run, cue: Path, checked: Path) -> None:
    result = run("unmark", "-", stdin=checked.read_bytes())
    assert result.exit_code == 0
    assert result.stdout_bytes == cue.read_bytes()


def test_a_file_without_marks_is_left_alone(run: Run, cue: Path) -> None:
    result = run("unmark", cue)
    assert result.exit_code == 0
    assert "no check marks in it" in result.stderr
    assert [path.name for path in cue.parent.glob("*.musicxml")] == ["cue.musicxml"]
    assert run("unmark", "-", stdin=cue.read_bytes()).stdout_bytes == cue.read_bytes()


def test_a_packed_score_stays_packed(run: Run, cue: Path) -> None:
    path = cue.parent / "song.mxl"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(
            "META-INF/container.xml", '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>'
        )
        archive.writestr("s.xml", cue.read_bytes())
    run("check", path)
    assert run("unmark", cue.parent / "song.checked.mxl", "--out", cue.parent / "back").exit_code == 0
    with zipfile.ZipFile(cue.parent / "back" / "song.mxl") as archive:
        assert archive.read("s.xml") == cue.read_bytes()


def test_by_label_takes_out_marks_that_lost_their_instructions(run: Run, cue: Path, checked: Path) -> None:
    import re

    checked.write_bytes(re.sub(rb"<\?xmlcheck[^>]*\?>", b"", checked.read_bytes()))
    assert b"[check" in checked.read_bytes()
    assert "no check marks" in run("unmark", checked).stderr
    result = run("unmark", checked, "--by-label", "--out", cue.parent / "back")
    assert result.exit_code == 0
    assert "took out [check " in result.stderr
    assert "not the bytes of the original" in result.stderr
    assert b"[check" not in (cue.parent / "back" / "cue.musicxml").read_bytes()


def test_one_bad_file_does_not_stop_the_rest(run: Run, cue: Path, checked: Path) -> None:
    result = run("unmark", cue.parent / "none.musicxml", checked, "--out", cue.parent / "back", "--quiet")
    assert result.exit_code == 2
    assert result.stderr.splitlines() == [result.stderr.rstrip("\n")]
    assert (cue.parent / "back" / "cue.musicxml").read_bytes() == cue.read_bytes()


@pytest.mark.parametrize(
    ("name", "original"),
    [
        ("cue.checked.musicxml", "cue.musicxml"),
        ("cue.xml.checked.musicxml", "cue.xml"),
        ("cue.mxl.checked.mxl", "cue.mxl"),
        ("cue.checked.mxl", "cue.mxl"),
        ("cue.musicxml", "cue.unmarked.musicxml"),
        ("a.b.checked.musicxml", "a.b.musicxml"),
    ],
)
def test_the_name_is_that_of_the_original(name: str, original: str) -> None:
    assert original_name(name) == original
