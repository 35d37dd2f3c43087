"""Rows: what a path can be. Only regular files are read; outputs never go through a link."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from tests.hostile.row import Row, score

GOOD = score()


def _fifo(folder: Path) -> Path:
    os.mkfifo(folder / "cue.musicxml")
    return folder / "cue.musicxml"


def _fifo_in_folder(folder: Path) -> Path:
    (folder / "scores").mkdir()
    os.mkfifo(folder / "scores" / "lamp.musicxml")
    return folder / "scores"


def _link(folder: Path, to: str | Path) -> Path:
    (folder / "cue.musicxml").symlink_to(to)
    return folder / "cue.musicxml"


def _empty_folder(folder: Path) -> Path:
    (folder / "empty").mkdir()
    return folder / "empty"


def _loop(folder: Path) -> Path:
    (folder / "other.musicxml").symlink_to("cue.musicxml")
    return _link(folder, "other.musicxml")


def _folder_loop(folder: Path) -> Path:
    (folder / "scores").mkdir()
    (folder / "scores" / "cue.musicxml").write_bytes(GOOD)
    (folder / "scores" / "again").symlink_to("..")
    return folder / "scores"


def _linked(folder: Path) -> Path:
    (folder / "kept").mkdir()
    (folder / "kept" / "score.musicxml").write_bytes(GOOD)
    return _link(folder, "kept/score.musicxml")


def _output(folder: Path, to: str, content: bytes | None = None) -> Path:
    """A score whose annotated file would be where a link is."""
    path = folder / "lamp.musicxml"
    path.write_bytes(GOOD)
    if content is not None:
        (folder / to).write_bytes(content)
    (folder / "lamp.checked.musicxml").symlink_to(to)
    return path


def _output_folder(folder: Path) -> Path:
    (folder / "lamp.musicxml").write_bytes(GOOD)
    (folder / "lamp.findings.json").mkdir()
    return folder / "lamp.musicxml"


def _output_fifo(folder: Path) -> Path:
    (folder / "lamp.musicxml").write_bytes(GOOD)
    os.mkfifo(folder / "lamp.findings.json")
    return folder / "lamp.musicxml"


def _foreign(name: str, content: bytes) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        (folder / "lamp.musicxml").write_bytes(GOOD)
        (folder / name).write_bytes(content)
        return folder / "lamp.musicxml"

    return make


def _deep_json(folder: Path) -> Path:
    (folder / "lamp.musicxml").write_bytes(GOOD)
    (folder / "lamp.findings.json").write_text("[" * 100_000 + "]" * 100_000, encoding="utf-8")
    return folder / "lamp.musicxml"


PLACES = (
    Row("a path that is not there", lambda folder: folder / "lamp.musicxml", "refused", "no such file"),
    Row("a folder, and no word where to write", lambda folder: folder, "refused", "say where to write"),
    Row("a folder without scores", _empty_folder, "refused", "no scores",
        options=("--no-write",)),
    Row("a FIFO", _fifo, "refused", "neither a file nor a folder"),
    Row("a FIFO among the scores of a folder", _fifo_in_folder, "refused", "lamp.musicxml", options=("--no-write",)),
    Row("a device that never ends", lambda folder: Path("/dev/zero"), "refused", "neither a file nor a folder"),
    Row("a link to a device that never ends", lambda folder: _link(folder, "/dev/zero"), "refused",
        "neither a file nor a folder"),
    Row("a broken link", lambda folder: _link(folder, "nowhere.musicxml"), "refused", "no such file"),
    Row("a link to itself", lambda folder: _link(folder, "cue.musicxml"), "refused"),
    Row("two links to one another", _loop, "refused"),
    Row("a link to a score", _linked, "checked"),
    Row("a folder that holds a link to the folder above", _folder_loop, "checked", options=("--beside",)),
    Row("an output that is a link to somebody's file", lambda folder: _output(folder, "diary.txt", b"Today"), "refused", "link"),
    Row("an output that is a link to nothing", lambda folder: _output(folder, "nothing"), "refused", "link"),
    Row("an output that is a link to its input", lambda folder: _output(folder, "lamp.musicxml"), "refused"),
    Row("an output that is a folder", _output_folder, "refused", "is there already"),
    Row("an output that is a FIFO", _output_fifo, "refused", "is there already"),
    Row("an output that is somebody's file", _foreign("lamp.findings.json", b"{}"), "refused", "is there already"),
    Row("an output that is JSON of 100,000 levels", _deep_json, "refused", "is there already"),
    Row("an output that is somebody's score", _foreign("lamp.checked.musicxml", GOOD), "refused", "is there already"),
    Row("--out is a file", _foreign("desk", b"x"), "refused", "cannot be written", options=("--out", "@/desk")),
    Row("--out is in a device", _foreign("other", b"x"), "refused", "cannot be written", options=("--out", "/dev/null/desk")),
)  # fmt: skip
