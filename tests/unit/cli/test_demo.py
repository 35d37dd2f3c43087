"""`demo`: the cue comes along, is checked, and the exit status is 0 although it has faults."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

import xmlcheck
from xmlcheck.cli.demo import CUE, cue

Run = Callable[..., Result]


def test_the_demo_writes_its_three_files_and_says_so(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("demo")
    assert result.exit_code == 0
    folder = tmp_path / "xmlcheck-demo"
    names = ["the-crossing.checked.musicxml", "the-crossing.findings.json", "the-crossing.musicxml"]
    assert sorted(path.name for path in folder.iterdir()) == names
    for name in names:
        assert name in result.stderr
    original = (folder / CUE).read_bytes()
    assert original == cue().read_bytes()
    assert xmlcheck.unmark((folder / names[0]).read_bytes()) == original
    data = json.loads((folder / names[1]).read_bytes())
    assert data["summary"]["halt"] > 0, "the cue has faults on purpose"
    assert f"■ {data['summary']['halt']} halt" in result.stdout


def test_the_demo_can_be_run_again_and_keeps_what_is_not_its_own(run: Run, tmp_path: Path) -> None:
    first = run("demo", "--out", tmp_path)
    second = run("demo", "--out", tmp_path)
    assert (second.exit_code, second.stdout) == (0, first.stdout)
    (tmp_path / CUE).write_bytes(b"<mine/>")
    result = run("demo", "--out", tmp_path)
    assert result.exit_code == 2
    assert "is not the demo cue" in result.stderr
    assert (tmp_path / CUE).read_bytes() == b"<mine/>"


def test_a_configuration_around_the_folder_does_not_change_the_demo(run: Run, tmp_path: Path) -> None:
    (tmp_path / "xmlcheck.toml").write_text("nonsense = 1\n", encoding="utf-8")
    assert run("demo", "--out", tmp_path / "d").exit_code == 0
