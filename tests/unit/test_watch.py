"""A watched folder: each complete state of each export is checked once, whatever the exporter does meanwhile."""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from xmlcheck.errors import Unreadable
from xmlcheck.paths import Outcome
from xmlcheck.testing import score
from xmlcheck.watch import Pace, watch

pytest.importorskip("watchfiles", reason="the extra `watch` is not installed")

PACE = Pace(settle=0.15, patience=0.8, sweep=0.3, tick=0.05)


def music(note: str) -> bytes:
    return score(f"{note}4.w")


class Watched:
    """Runs the watch in a thread and keeps its outcomes."""

    def __init__(self, folder: Path, existing: bool = False, polling: bool | None = None) -> None:
        self.outcomes: list[Outcome] = []
        self._stop, self._begun = threading.Event(), threading.Event()
        runs = watch(folder, stop=self._asked, pace=PACE, existing=existing, polling=polling)
        self._thread = threading.Thread(target=lambda: self.outcomes.extend(self._kept(runs)))
        self._thread.start()
        assert self._begun.wait(20)

    def _asked(self) -> bool:
        """The watch asks for the first time when it has looked over the folder and is told of changes."""
        self._begun.set()
        return self._stop.is_set()

    def _kept(self, runs: Iterator[Outcome]) -> Iterator[Outcome]:
        yield from runs

    def until_idle(self, seconds: float = 1.5) -> list[Outcome]:
        time.sleep(seconds)
        self._stop.set()
        self._thread.join(20)
        assert not self._thread.is_alive()
        return self.outcomes


def names(outcomes: list[Outcome]) -> list[str]:
    return sorted(outcome.path.name for outcome in outcomes)


def test_an_export_written_at_once_is_checked_once(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    (tmp_path / "cue.musicxml").write_bytes(music("C"))
    outcomes = watched.until_idle()
    assert names(outcomes) == ["cue.musicxml"]
    assert outcomes[0].report is not None
    assert outcomes[0].report.parts[0].notes == 1


def test_what_was_there_before_is_left_alone_unless_asked_for(tmp_path: Path) -> None:
    (tmp_path / "old.musicxml").write_bytes(music("C"))
    assert Watched(tmp_path).until_idle(0.8) == []
    assert names(Watched(tmp_path, existing=True).until_idle(0.8)) == ["old.musicxml"]


def test_a_file_written_in_pieces_is_checked_when_it_is_whole(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    data = music("D")
    with (tmp_path / "slow.musicxml").open("wb") as stream:
        for start in range(0, len(data), len(data) // 5 + 1):
            stream.write(data[start : start + len(data) // 5 + 1])
            stream.flush()
            time.sleep(0.3)  # longer than the file must stand still, so that half files are looked at
    outcomes = watched.until_idle()
    assert names(outcomes) == ["slow.musicxml"]
    assert outcomes[0].report is not None


def test_a_file_renamed_into_place_is_checked_and_the_temporary_one_is_not(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    temporary = tmp_path / "cue.musicxml.tmp"
    temporary.write_bytes(music("E"))
    os.replace(temporary, tmp_path / "cue.musicxml")
    assert names(watched.until_idle()) == ["cue.musicxml"]


def test_an_overwritten_export_is_checked_again_and_an_equal_one_is_not(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    cue = tmp_path / "cue.musicxml"
    cue.write_bytes(music("C"))
    time.sleep(0.7)
    cue.write_bytes(music("D"))
    time.sleep(0.7)
    cue.write_bytes(music("D"))
    outcomes = watched.until_idle()
    assert names(outcomes) == ["cue.musicxml", "cue.musicxml"]
    told = [report.source.sha256 for outcome in outcomes if (report := outcome.report) is not None]
    assert len(set(told)) == 2


def test_a_deleted_export_is_forgotten_and_checked_when_it_comes_back(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    cue = tmp_path / "cue.musicxml"
    cue.write_bytes(music("C"))
    time.sleep(0.7)
    cue.unlink()
    time.sleep(0.7)
    cue.write_bytes(music("C"))
    assert names(watched.until_idle()) == ["cue.musicxml", "cue.musicxml"]


def test_own_outputs_and_other_files_are_passed_over(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    for name in ("cue.checked.musicxml", "cue.findings.json", ".hidden.musicxml", "notes.txt", "cue.player.musicxml"):
        (tmp_path / name).write_bytes(music("C"))
    assert watched.until_idle() == []


def test_a_file_that_stays_broken_is_told_once_after_its_patience(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    (tmp_path / "cut.musicxml").write_bytes(music("C")[:-40])
    outcomes = watched.until_idle(2.0)
    assert names(outcomes) == ["cut.musicxml"]
    assert isinstance(outcomes[0].error, Unreadable)


def test_polling_finds_the_same(tmp_path: Path) -> None:
    watched = Watched(tmp_path, polling=True)
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "cue.musicxml").write_bytes(music("C"))
    assert names(watched.until_idle(2.0)) == ["cue.musicxml"]


@pytest.mark.parametrize("spelling", [".", "exports", "../here/exports", "link"])
def test_a_file_has_one_name_however_the_folder_is_spelled(
    spelling: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the file system tells and what the sweep finds is the same file: it is checked once."""
    exports = tmp_path / "here" / "exports"
    exports.mkdir(parents=True)
    (tmp_path / "here" / "link").symlink_to(exports)
    monkeypatch.chdir(exports if spelling == "." else tmp_path / "here")
    watched = Watched(Path(spelling))
    (exports / "cue.musicxml").write_bytes(music("C"))
    outcomes = watched.until_idle()
    assert [outcome.path for outcome in outcomes] == [Path(spelling) / "cue.musicxml"]


def test_a_folder_that_goes_away_and_comes_back_is_watched_on(tmp_path: Path) -> None:
    exports = tmp_path / "exports"
    exports.mkdir()
    watched = Watched(exports)
    exports.rename(tmp_path / "elsewhere")
    time.sleep(0.8)
    (tmp_path / "elsewhere").rename(exports)
    (exports / "cue.musicxml").write_bytes(music("C"))
    assert names(watched.until_idle()) == ["cue.musicxml"]


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="file names are always text there")
def test_a_file_name_that_is_no_text_does_not_end_the_watch(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    odd = tmp_path / os.fsdecode(b"cue\xff.musicxml")
    odd.write_bytes(music("C"))
    time.sleep(0.7)
    (tmp_path / "plain.musicxml").write_bytes(music("D"))
    assert sorted(outcome.path for outcome in watched.until_idle(2.0)) == sorted((odd, tmp_path / "plain.musicxml"))


def test_an_export_just_before_the_stop_is_still_checked(tmp_path: Path) -> None:
    watched = Watched(tmp_path)
    (tmp_path / "cue.musicxml").write_bytes(music("C"))
    assert names(watched.until_idle(0)) == ["cue.musicxml"]


def test_a_folder_that_is_none_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="no such folder"):
        next(watch(tmp_path / "none"))
