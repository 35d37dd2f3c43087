"""Library runs: a line a file in path order, resumed by key, the final file whole or not there."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from xmlcheck.errors import WriteFailed
from xmlcheck.library import JOURNAL, Done, Summary, reports, run
from xmlcheck.paths import Choices
from xmlcheck.testing import score


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    folder = tmp_path / "shelf"
    folder.mkdir()
    for number, note in enumerate("CDEFG"):
        (folder / f"cue{number}.musicxml").write_bytes(score(f"{note}4.w"))
    (folder / "broken.xml").write_bytes(b"<score-partwise")
    return folder


def test_a_line_a_file_in_path_order_and_a_summary(shelf: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"
    summary = run([shelf], results)
    lines = list(reports(results))
    assert [Path(line["path"]).name for line in lines] == ["broken.xml", *(f"cue{n}.musicxml" for n in range(5))]
    assert "error" in lines[0]
    assert all(line["report"]["schema"] == "findings-1" for line in lines[1:])
    assert (summary.files, summary.failed, summary.notes) == (5, 1, 5)
    last = json.loads(results.read_text(encoding="utf-8").splitlines()[-1])
    assert last["summary"]["files"] == 5
    assert not results.with_name(results.name + JOURNAL).exists()


def test_a_resumed_run_takes_over_what_still_holds(shelf: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"
    run([shelf], results)
    whole = results.read_bytes()
    checked: list[Done] = []
    again = run([shelf], results, resume=True, told=lambda done, _: checked.append(done))
    assert results.read_bytes() == whole
    assert again.taken_over == 6
    assert all(done.taken_over for done in checked)
    (shelf / "cue1.musicxml").write_bytes(score("A4.w"))
    changed = run([shelf], results, resume=True)
    assert changed.taken_over == 5
    assert results.read_bytes() != whole


def test_another_configuration_takes_over_nothing(shelf: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"
    run([shelf], results)
    assert run([shelf], results, resume=True, choices=Choices(parts={"P1": "violin"})).taken_over == 0


def test_a_journal_cut_in_the_middle_of_a_line_is_gone_on_from(shelf: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"
    run([shelf], results)
    whole = results.read_bytes()
    lines = whole.splitlines(keepends=True)
    results.with_name(results.name + JOURNAL).write_bytes(b"".join(lines[:3]) + lines[3][:50])
    results.unlink()
    assert run([shelf], results, resume=True).taken_over == 3
    assert results.read_bytes() == whole


def test_a_file_that_holds_something_else_is_not_overwritten(shelf: Path, tmp_path: Path) -> None:
    other = tmp_path / "letters.jsonl"
    other.write_text("Dear all,\n", encoding="utf-8")
    with pytest.raises(WriteFailed, match="no results"):
        run([shelf], other)
    assert other.read_text(encoding="utf-8") == "Dear all,\n"


def test_the_summary_grows_as_files_are_done(shelf: Path, tmp_path: Path) -> None:
    seen: list[int] = []

    def told(done: Done, summary: Summary) -> None:
        seen.append(summary.files + summary.failed)

    run([shelf], tmp_path / "results.jsonl", told=told)
    assert seen == [1, 2, 3, 4, 5, 6]


def test_the_command_line_says_how_far_it_came(shelf: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "xmlcheck", "library", str(shelf), "--results", str(tmp_path / "r.jsonl"), "-j", "2"]
    first = subprocess.run(command, capture_output=True, text=True, check=False)
    assert first.returncode == 2  # one file cannot be read
    assert "5 files" in first.stderr
    alone = tmp_path / "alone.jsonl"
    run([shelf], alone)
    assert alone.read_bytes() == (tmp_path / "r.jsonl").read_bytes()


def test_the_exit_status_follows_the_grade_to_hold_at(shelf: Path, tmp_path: Path) -> None:
    (shelf / "broken.xml").unlink()
    counts = run([shelf], tmp_path / "alone.jsonl").findings
    assert not counts["halt"]
    assert counts["query"]  # no tempo is given
    command = [sys.executable, "-m", "xmlcheck", "library", str(shelf), "--results", str(tmp_path / "r.jsonl"), "--quiet"]
    assert subprocess.run(command, check=False).returncode == 0
    assert subprocess.run([*command, "--hold-at", "query"], check=False).returncode == 1
