"""What xmlcheck/docs/export-step.md tells a copyist to do, done: the lines stand in the document and are taken from there.

How a hook runner calls an entry (split as a shell would, names of the files that match `files` and not `exclude` appended) is the
runner's public contract: https://pre-commit.com/#new-hooks.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import signal
import subprocess
import sys
import threading
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from xmlcheck.testing import Part, score

ROOT = Path(__file__).parents[2]
DOCUMENT = (ROOT / "xmlcheck" / "docs" / "export-step.md").read_text(encoding="utf-8")
FITS = score(Part("E4.w", name="Violin"))
HELD = score(Part("E2.w", name="Violin"))
"""Below the open G string (G3) there is no note on a violin: common practice, no source."""
HARMLESS = "Flöte & Geige 1.musicxml"


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", DOCUMENT, re.MULTILINE | re.DOTALL)


def table(heading: str) -> dict[str, str]:
    """The first table after these words: first column, without its code marks, to the second."""
    rows = DOCUMENT.partition(heading)[2].partition("|---|---|\n")[2].partition("\n\n")[0]
    cells = [[cell.strip() for cell in row.strip("|").split("|")] for row in rows.splitlines()]
    return {first.strip("`"): second for first, second in cells}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder to work in, with a `.git` so that no configuration from outside holds, and the command on a path of its own."""
    (tmp_path / ".git").mkdir()
    (tmp_path / "bin").mkdir()
    command = tmp_path / "bin" / "xmlcheck"
    command.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m xmlcheck "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    (tmp_path / "work").mkdir()
    return tmp_path / "work"


def run(place: Path, command: list[str], **more: str) -> subprocess.CompletedProcess[str]:
    path = f"{place.parent / 'bin'}{os.pathsep}{os.environ.get('PATH', '')}"
    environment = {**os.environ, "PATH": path, "PYTHONUTF8": "1", **more}
    return subprocess.run(
        command, cwd=place, env=environment, capture_output=True, text=True, encoding="utf-8", check=False, timeout=120
    )


shell = pytest.mark.skipif(sys.platform == "win32", reason="no sh there")


@shell
def test_the_shell_line_lets_an_export_through_or_holds_it_back(place: Path) -> None:
    (line,) = [block for block in blocks("sh") if "$EXPORT" in block]
    (place / "delivery").mkdir()
    for name, data, status in ((HARMLESS, FITS, 0), ("held.musicxml", HELD, 1), ("cut.musicxml", FITS[:-30], 2)):
        (place / name).write_bytes(data)
        done = run(place, ["sh", "-c", line], EXPORT=name)
        assert (done.returncode, done.stdout) == (status, ""), done.stderr
        assert (done.stderr == "") == (status < 2)
    assert [path.name for path in (place / "delivery").iterdir()] == [HARMLESS]
    assert (place / "delivery" / HARMLESS).read_bytes() == FITS
    assert sorted(path.name for path in (place / "checked").iterdir()) == sorted(
        f"{base}.{kind}" for base in (Path(HARMLESS).stem, "held") for kind in ("checked.musicxml", "findings.json")
    )


@pytest.mark.parametrize(
    ("files", "status", "told"),
    [
        ({HARMLESS: FITS}, 0, ["'halt': 0"]),
        ({HARMLESS: FITS, "held.musicxml": HELD}, 1, ["'halt': 0", "'halt': 1"]),
        ({"cut.musicxml": FITS[:-30], HARMLESS: FITS}, 1, ["cut.musicxml", "'halt': 0"]),
    ],
)
def test_the_python_call_tells_all_files_and_holds(files: dict[str, bytes], status: int, told: list[str], place: Path) -> None:
    (program,) = blocks("python")
    (place / "step.py").write_text(program, encoding="utf-8")
    for name, data in files.items():
        (place / name).write_bytes(data)
    done = run(place, [sys.executable, "step.py", *files])
    assert (done.returncode, done.stderr) == (status, "")
    assert len(done.stdout.splitlines()) == len(told)
    for line, words in zip(done.stdout.splitlines(), told, strict=True):
        assert words in line
    assert sorted(path.name for path in place.iterdir()) == sorted([*files, "step.py"])


def hook() -> dict[str, Any]:
    yaml: Any = import_module("yaml")
    (found,) = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    return dict(found)


def taken(names: list[str]) -> list[str]:
    """The names of a commit that the runner hands to the hook."""
    definition = hook()
    chosen = [name for name in names if re.search(definition["files"], name)]
    return [name for name in chosen if not re.search(definition["exclude"], name)]


def test_the_hook_takes_scores_and_no_copies_of_them() -> None:
    scores = [
        "cue.musicxml",
        "parts/Flöte 1.mxl",
        "CUE.MXL",
        "a.musicxml.d/b.musicxml",
        "checked.musicxml",
        "revised.2.musicxml",
    ]
    others = ["cue.musicxml.bak", "notes.txt", "page.xml", "mxl", "cue.mxl.txt", "xmlcheck.toml", "cue.findings.json"]
    copies = ["cue.checked.musicxml", "cue.checked.mxl", "parts/cue.player.musicxml", "cue.changes.musicxml", "CUE.CHECKED.MXL"]
    assert taken([*others, *scores, *copies]) == scores


@shell
@pytest.mark.parametrize(
    ("files", "status"),
    [
        ({HARMLESS: FITS}, 0),
        ({HARMLESS: FITS, "second.musicxml": FITS}, 0),
        ({"held.musicxml": HELD}, 1),
        ({HARMLESS: FITS, "parts/held.musicxml": HELD}, 1),
        ({"cut.musicxml": FITS[:-30], "held.musicxml": HELD}, 2),
    ],
)
def test_the_hook_holds_a_commit(files: dict[str, bytes], status: int, place: Path) -> None:
    for name, data in files.items():
        (place / name).parent.mkdir(exist_ok=True)
        (place / name).write_bytes(data)
    assert taken(list(files)) == list(files)
    done = run(place, [*shlex.split(hook()["entry"]), *files])
    assert done.returncode == status
    left = [str(path.relative_to(place)) for path in place.rglob("*") if path.is_file()]
    assert sorted(left) == sorted(str(Path(name)) for name in files), "a hook writes nothing"


def test_the_hook_is_defined_as_the_document_asks_for_it() -> None:
    yaml: Any = import_module("yaml")
    (config,) = blocks("yaml")
    (repository,) = yaml.safe_load(config)["repos"]
    assert [one["id"] for one in repository["hooks"]] == [hook()["id"]]
    assert {"id", "name", "entry", "language"} <= hook().keys()  # what a hook must have, by the runner's contract
    assert hook()["language"] == "python"


@shell
def test_the_watch_line_is_a_command_that_runs_and_its_json_lines_hold_what_is_said(place: Path) -> None:
    pytest.importorskip("watchfiles", reason="the extra `watch` is not installed")
    (line,) = [line for block in blocks("sh") for line in block.splitlines() if line.startswith("xmlcheck watch ")]
    (place / "exports").mkdir()
    (place / "exports" / HARMLESS).write_bytes(FITS)
    (place / "exports" / "cut.musicxml").write_bytes(FITS[:-30])
    command = f"exec {line} --jsonl --existing --no-write --quiet"
    environment = {**os.environ, "PATH": f"{place.parent / 'bin'}{os.pathsep}{os.environ.get('PATH', '')}", "PYTHONUTF8": "1"}
    process = subprocess.Popen(
        ["sh", "-c", command], cwd=place, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    timer = threading.Timer(60, process.kill)
    timer.start()
    try:
        assert process.stdout is not None
        lines = [json.loads(process.stdout.readline()) for _ in range(2)]
        process.send_signal(signal.SIGTERM)
        assert process.stdout.read() == b""
        process.communicate()
    finally:
        timer.cancel()
        process.kill()
    keys = table("`--jsonl` prints")
    assert {key for one in lines for key in one} == keys.keys()
    by_name = {Path(one["path"]).name: one for one in lines}
    assert by_name[HARMLESS].keys() == keys.keys() - {"error"}
    assert by_name["cut.musicxml"].keys() == keys.keys() - {"report"}
    assert [one["path"] for one in by_name.values()] == [f"exports/{name}" for name in by_name]
    assert process.returncode == 2
    assert "could not be read" in table("## Exit statuses")["2"]


def test_the_document_names_schemas_and_options_that_there_are() -> None:
    for schema in re.findall(r"schemas/[\w.-]+", DOCUMENT):
        assert (ROOT / schema).is_file()
    helps = [run(ROOT, [sys.executable, "-m", "xmlcheck", name, "--help"]).stdout for name in ("watch", "check")]
    for option in set(re.findall(r"--[a-z][a-z-]+", DOCUMENT)):
        assert any(re.search(rf"{option}\b", text) for text in helps), option


def test_the_times_in_the_document_are_those_of_the_watch() -> None:
    from xmlcheck.watch import Pace

    pace = Pace()
    words = " ".join(DOCUMENT.split())
    assert f"stood still for {pace.settle} seconds" in words
    assert f"waited for, {pace.patience:.0f} seconds from its last change" in words
    assert f"every {pace.sweep:.0f} seconds" in words
