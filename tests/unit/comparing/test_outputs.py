"""JSON by its schema, the marked revision, the second reader, the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import xmlcheck
from xmlcheck import schemas
from xmlcheck.cli import main
from xmlcheck.comparing import account_for, mark_changes, revision
from xmlcheck.comparing.second_reader import second_reading
from xmlcheck.testing.mini import Part, score

OLD = [Part("C4.q D4 E4 F4 | G4.h A4 | B4.w | C5.q B4 A4 G4", name="Lamp zither"), Part("C3.w | D3 | E3 | F3", name="Drone")]
NEW = [
    Part("C4.q D4 Eb4 F4 | <mf> G4.h A4 | B4.w | A5 | C5.q B4 A4 G4", name="Lamp zither"),
    Part("C3.w | D3 | E3 | R | F3", name="Drone"),
]
ONE, OTHER = score(OLD), score(NEW)


@pytest.mark.parametrize("asked", ["revision", "round trip", "account"])
def test_the_json_is_as_its_schema_says(asked: str) -> None:
    comparison = (
        account_for(ONE, OTHER) if asked == "account" else xmlcheck.compare(ONE, OTHER, round_trip=asked == "round trip")
    )
    told = json.loads(json.dumps(comparison.to_dict()))
    assert schemas.validate("comparison-1", told) == []
    assert told["asked"] == asked


def test_two_comparisons_are_equal() -> None:
    assert json.dumps(xmlcheck.compare(ONE, OTHER).to_dict()) == json.dumps(xmlcheck.compare(ONE, OTHER).to_dict())


@pytest.mark.parametrize("data", [OTHER, score(NEW, encoding="UTF-16")])
def test_changes_are_marked_and_come_out_without_a_trace(data: bytes) -> None:
    comparison = xmlcheck.compare(ONE, data)
    marked = mark_changes(data, revision(data), comparison.changes)
    assert xmlcheck.unmark(marked) == data
    text = marked.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8")
    for change in comparison.changes:
        assert change.label in text
    assert xmlcheck.compare(data, marked).same
    assert second_reading(data, marked).same is True


def test_the_second_reader_sees_a_changed_note() -> None:
    """music21 reads both files; a note of another pitch is one missing and one extra."""
    verdict = second_reading(ONE, ONE.replace(b"<step>D</step>", b"<step>E</step>", 1))
    assert (verdict.same, verdict.missing, verdict.extra) == (False, 1, 1)


def test_the_second_reader_says_when_it_cannot_read() -> None:
    verdict = second_reading(b"<score-partwise>", b"<score-partwise>")
    assert verdict.same is None
    assert "cannot read" in verdict.reason


def test_the_second_reader_proves_nothing_where_it_finds_no_note() -> None:
    """music21 reads no score-timewise: two empty readings agree, and that says nothing."""
    empty = b'<score-timewise version="4.0"><part-list/></score-timewise>'
    assert second_reading(empty, empty).same is None


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    (tmp_path / ".git").mkdir()
    old, new = tmp_path / "cue.musicxml", tmp_path / "cue-2.musicxml"
    old.write_bytes(ONE)
    new.write_bytes(OTHER)
    return old, new


def run(*arguments: object, stdin: bytes | None = None) -> Result:
    return CliRunner().invoke(main, ["compare", *(str(item) for item in arguments)], input=stdin)


def test_exit_status_and_text(files: tuple[Path, Path]) -> None:
    result = run(*files)
    assert result.exit_code == 1
    assert "bar 1, beat 3" in result.stdout
    assert "E4 is now Eb4" in result.stdout
    assert "1 new bar; numbered 3A" in result.stdout
    assert "New pages" in result.stdout
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert run(files[0], files[0]).exit_code == 0
    assert "nothing changed" in run(files[0], files[0]).stdout


def test_standard_input_and_json(files: tuple[Path, Path]) -> None:
    result = run("-", files[1], "--format", "json", stdin=ONE)
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    assert schemas.validate("comparison-1", told) == []
    assert told["findings"] is not None
    assert run("-", "-").exit_code == 2


def test_mark_changes_writes_beside_the_new_file(files: tuple[Path, Path]) -> None:
    result = run(*files, "--mark-changes", "--music-only")
    assert result.exit_code == 1
    written = files[1].with_name("cue-2.changes.musicxml")
    assert xmlcheck.unmark(written.read_bytes()) == OTHER
    written.write_bytes(written.read_bytes() + b"<!-- by hand -->")
    assert run(*files, "--mark-changes", "--music-only").exit_code == 2


def test_round_trip_and_account(files: tuple[Path, Path]) -> None:
    assert "Lost on the way" in run(*files, "--round-trip").stdout
    accounted = run(*files, "--account", "--music-only")
    assert accounted.exit_code == 1
    assert "left out" in accounted.stdout
    assert run(*files, "--account", "--round-trip").exit_code == 2
