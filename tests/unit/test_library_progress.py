"""How far a library run has come: a bar on a terminal, plain lines elsewhere, silence with --quiet."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from xmlcheck.cli import library as command
from xmlcheck.cli import main
from xmlcheck.library import JOURNAL, reports
from xmlcheck.testing import score

SAID = "12 files, 24 notes, "


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """Twelve files of two notes each, and one that cannot be read."""
    folder = tmp_path / "shelf"
    folder.mkdir()
    (tmp_path / ".git").mkdir()
    for number in range(12):
        (folder / f"cue{number:02}.musicxml").write_bytes(score("C4.h D4"))
    (folder / "broken.xml").write_bytes(b"<score-partwise")
    return folder


def on_a_terminal(arguments: list[str]) -> tuple[int, str]:
    """Runs the command with standard error on a pseudo-terminal of 100 columns; the exit status and all that was shown."""
    pty = pytest.importorskip("pty", reason="no pseudo-terminals here")
    master, slave = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "100", "LINES": "30", "PYTHONUTF8": "1"}
    for name in ("NO_COLOR", "CI"):
        environment.pop(name, None)
    process = subprocess.Popen([sys.executable, "-m", "xmlcheck", *arguments], stderr=slave, env=environment)
    os.close(slave)
    shown = b""
    try:
        while block := os.read(master, 4096):
            shown += block
    except OSError:  # the other end is closed
        pass
    os.close(master)
    return process.wait(60), shown.decode()


def test_a_terminal_shows_a_bar_with_files_notes_and_findings(shelf: Path, tmp_path: Path) -> None:
    status, shown = on_a_terminal(["library", str(shelf), "--results", str(tmp_path / "r.jsonl")])
    assert status == 2  # one file cannot be read
    plain = re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", shown)
    assert "━" in plain
    states = [
        (int(done), int(notes)) for done, notes in re.findall(r"(\d+)/13 .*?(\d+) notes, \d+ halt, \d+ query, \d+ tidy", plain)
    ]
    assert states == sorted(states)
    assert states[-1] == (13, 24)
    assert len([line for line in plain.splitlines() if line.startswith("xmlcheck: ") and "broken.xml" in line]) == 1
    last = plain.rstrip().splitlines()[-1]
    assert SAID in last
    assert last.endswith("; 1 could not be checked")


def test_quiet_is_silent_on_a_terminal_but_for_errors(shelf: Path, tmp_path: Path) -> None:
    (shelf / "broken.xml").unlink()
    status, shown = on_a_terminal(["library", str(shelf), "--results", str(tmp_path / "r.jsonl"), "--quiet"])
    assert (status, shown) == (0, "")


def test_elsewhere_there_are_plain_lines(shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "EACH", 5)
    result = CliRunner().invoke(main, ["library", str(shelf), "--results", str(tmp_path / "r.jsonl")])
    assert result.exit_code == 2
    assert result.stdout == ""
    broken, *lines = result.stderr.splitlines()
    assert "broken.xml" in broken
    assert [line.partition(", ")[0] for line in lines[:-1]] == ["4 files", "9 files"]  # the broken one is no file checked
    assert SAID in lines[-1]
    assert "\x1b" not in result.stderr


def test_quiet_leaves_errors_only(shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "EACH", 5)
    result = CliRunner().invoke(main, ["library", str(shelf), "--results", str(tmp_path / "r.jsonl"), "--quiet"])
    assert [("broken.xml" in line) for line in result.stderr.splitlines()] == [True]
    assert result.stdout == ""


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="file names are always text there")
def test_a_file_name_that_is_no_text_is_a_line_like_others(tmp_path: Path) -> None:
    odd = tmp_path / os.fsdecode(b"cue\xff.musicxml")
    odd.write_bytes(score("C4.w"))
    results = tmp_path / "r.jsonl"
    for resumed in ((), ("--resume",)):
        result = CliRunner().invoke(main, ["library", str(odd), "--results", str(results), *resumed])
        assert result.exit_code == 0, result.stderr
        assert [line["path"] for line in reports(results)] == [str(odd)]
    assert "1 taken over" in result.stderr
    assert not results.with_name(results.name + JOURNAL).exists()
