"""What changed since the last export: held against the last readable one, told in one line, kept on disk and not in memory.

The changes looked for are those that the test makes itself; how music is compared is tested with `compare`.
"""

from __future__ import annotations

import gc
import os
import tracemalloc
import zipfile
from pathlib import Path

import pytest

from xmlcheck.errors import WriteFailed
from xmlcheck.paths import Choices, Found, Outcome, outcome
from xmlcheck.testing import Part, score
from xmlcheck.watch import Previous
from xmlcheck.watch.telling import told

LINE = "C4.q D4 E4 F4 | G4.w | A4.w"


def export(path: Path, data: bytes) -> Outcome:
    """Writes the file and checks it as the watch does."""
    path.write_bytes(data)
    return outcome(Found(path, path.parent), Choices())


def since(previous: Previous, path: Path, data: bytes) -> str | None:
    comparison = previous.since(export(path, data))
    return told(comparison) if comparison is not None else None


def test_the_first_export_has_none_and_the_next_is_held_against_it(tmp_path: Path) -> None:
    cue = tmp_path / "cue.musicxml"
    with Previous() as previous:
        assert since(previous, cue, score(LINE)) is None
        assert since(previous, cue, score(LINE.replace("A4", "B4"))) == "since the last export: Music bar 3: A4 is now B4"
        assert since(previous, cue, score(LINE.replace("A4", "B4"))) == "since the last export: nothing changed"
        assert since(previous, cue, score(LINE)) == "since the last export: Music bar 3: B4 is now A4"


def test_an_export_that_cannot_be_read_takes_no_others_place(tmp_path: Path) -> None:
    cue = tmp_path / "cue.musicxml"
    with Previous() as previous:
        since(previous, cue, score(LINE))
        assert since(previous, cue, score(LINE)[:-60]) is None
        assert since(previous, cue, score(LINE.replace("G4", "E4"))) == "since the last export: Music bar 2: G4 is now E4"


def test_what_is_there_at_the_start_is_the_last_export(tmp_path: Path) -> None:
    cue, cut, other = tmp_path / "cue.musicxml", tmp_path / "cut.musicxml", tmp_path / "other.xml"
    cue.write_bytes(score(LINE))
    cut.write_bytes(score(LINE)[:-60])
    other.write_bytes(b"<page/>")
    with Previous() as previous:
        for path in (cue, cut, other, tmp_path / "gone.musicxml"):
            previous.note(path)
        assert since(previous, cue, score(LINE.replace("A4", "B4"))) == "since the last export: Music bar 3: A4 is now B4"
        assert since(previous, cut, score(LINE)) is None
        assert since(previous, other, score(LINE)) is None


def test_parts_of_one_name_in_two_folders_are_two(tmp_path: Path) -> None:
    one, two = tmp_path / "one" / "cue.musicxml", tmp_path / "two" / "cue.musicxml"
    for path in (one, two):
        path.parent.mkdir()
    with Previous() as previous:
        since(previous, one, score(LINE))
        assert since(previous, two, score("C3.w")) is None
        assert since(previous, one, score(LINE)) == "since the last export: nothing changed"


def test_a_zip_is_compared_like_a_plain_file(tmp_path: Path) -> None:
    cue = tmp_path / "cue.mxl"
    container = '<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>'

    def packed(data: bytes) -> bytes:
        with zipfile.ZipFile(tmp_path / "made.zip", "w") as archive:
            archive.writestr("META-INF/container.xml", container)
            archive.writestr("s.xml", data)
        return (tmp_path / "made.zip").read_bytes()

    with Previous() as previous:
        since(previous, cue, packed(score(LINE)))
        assert (
            since(previous, cue, packed(score(LINE.replace("A4", "B4")))) == "since the last export: Music bar 3: A4 is now B4"
        )


def test_several_changes_are_told_by_layer_and_place(tmp_path: Path) -> None:
    cue = tmp_path / "cue.musicxml"
    four = [Part(LINE, name=name) for name in ("Koto", "Oud", "Ney", "Pipa")]
    changed = [Part(LINE.replace("C4", "G4").replace("A4", "B4"), name=name) for name in ("Koto", "Oud", "Ney", "Pipa")]
    with Previous() as previous:
        since(previous, cue, score(four))
        line = since(previous, cue, score(changed))
    assert line is not None
    assert line.startswith("since the last export: 8 changes (8 to be heard): Koto bars 1-3, Oud bars 1-3, Ney bars 1-3")
    assert " and 1 more part" in line
    assert "\n" not in line


def test_findings_that_came_and_went_are_told(tmp_path: Path) -> None:
    """No note is below a violin's open G string (G3; common practice, no source): a finding comes with E2 and goes with it."""
    cue = tmp_path / "cue.musicxml"
    fits, low = score(Part("E4.w", name="Violin")), score(Part("E2.w", name="Violin"))
    with Previous() as previous:
        first = export(cue, fits)
        previous.since(first)
        second = export(cue, low)
        comparison = previous.since(second)
        assert comparison is not None
        assert first.report is not None
        assert second.report is not None
        before = {finding.id for finding in first.report.findings}
        after = {finding.id for finding in second.report.findings}
        assert comparison.findings is not None
        assert len(comparison.findings.new) == len(after - before) > 0
        assert f"{len(after - before)} new" in told(comparison)


def test_the_folder_is_private_and_goes_at_the_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cue = tmp_path / "cue.musicxml"
    with Previous() as previous:
        assert previous.folder.stat().st_mode & 0o077 == 0 or os.name == "nt"
        since(previous, cue, score(LINE))
        assert len(list(previous.folder.iterdir())) == 1
        assert [path.name for path in tmp_path.iterdir()] == ["cue.musicxml"]
    assert not previous.folder.exists()


def test_no_room_for_the_export_is_one_sentence(tmp_path: Path) -> None:
    with Previous() as previous:
        previous.folder.rmdir()
        with pytest.raises(WriteFailed, match="cannot be kept for the next comparison"):
            since(previous, tmp_path / "cue.musicxml", score(LINE))


def test_memory_does_not_grow_with_the_number_of_parts(tmp_path: Path) -> None:
    """60 parts of some 60 kB each are 3.6 MB: kept in memory they would show."""
    data = score(" | ".join(["C4.q D4 E4 F4"] * 120))
    assert len(data) > 50_000
    outcomes = [export(tmp_path / f"cue{number}.musicxml", data) for number in range(2)]
    report = outcomes[0].report
    with Previous() as previous:
        for done in outcomes:
            previous.since(done)
        gc.collect()
        tracemalloc.start()
        for number in range(60):
            previous.since(Outcome(tmp_path / f"part{number}.musicxml", report, data=bytes(bytearray(data))))
        gc.collect()
        grown = tracemalloc.get_traced_memory()[0]
        tracemalloc.stop()
        assert len(list(previous.folder.iterdir())) == 62
    assert grown < 500_000
