"""The real command, stopped by a real signal in the midst of a check: nothing is cut short and nothing is left behind.

A plugin of our own holds every note and waits at a gate while it does, so that the signal comes at a known moment.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import xmlcheck
from xmlcheck import schemas
from xmlcheck.testing import score

pytest.importorskip("watchfiles", reason="the extra `watch` is not installed")
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals there end a process at once")

CARD = """schema = "rule-1"
id = "gate.hold"
title = "Every note holds the cue"
grade = "halt"
label = "held at the gate"
message = "{count} held."
why = "This rule is for tests: it speaks of every note."
remedy = "None is needed."
merge = "part"
to = "orchestrator"
"""
RULE = '''"""Speaks of every note, and waits at the gate first."""

import os
import time
from pathlib import Path

from xmlcheck.plugin import Chair, Hit, Hits, rule


@rule
def hold(chair: Chair) -> Hits:
    gate = Path(os.environ["GATE"])
    (gate / "at-work").touch()
    end = time.monotonic() + 30
    while not (gate / "open").exists() and time.monotonic() < end:
        time.sleep(0.02)
    for tone in chair.tones:
        yield Hit(at=(tone,))
'''


@pytest.fixture
def plugin(tmp_path: Path) -> Path:
    folder = tmp_path / "xmlcheck_gate"
    (folder / "rules" / "hold").mkdir(parents=True)
    (folder / "rules" / "hold" / "rule.toml").write_text(CARD, encoding="utf-8")
    (folder / "rules" / "hold" / "rule.py").write_text(RULE, encoding="utf-8")
    (folder / "plugin.toml").write_text('schema = "plugin-1"\nversion = "1"\n', encoding="utf-8")
    return folder


class Process:
    """`python -m xmlcheck watch` on a folder of its own, with a temporary folder of its own."""

    def __init__(self, base: Path, *options: object) -> None:
        self.exports, self.gate, self.temporary = base / "exports", base / "gate", base / "temporary"
        for folder in (self.exports, self.gate, self.temporary, base / ".git"):
            folder.mkdir(exist_ok=True)
        self._popen: subprocess.Popen[str] | None = None
        self._command = [sys.executable, "-m", "xmlcheck", "watch", str(self.exports), *map(str, options)]
        self._environment = {**os.environ, "GATE": str(self.gate), "TMPDIR": str(self.temporary), "PYTHONUTF8": "1"}

    def start(self) -> subprocess.Popen[str]:
        self._popen = subprocess.Popen(
            self._command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=self._environment, encoding="utf-8"
        )
        return self._popen

    def open(self) -> None:
        (self.gate / "open").touch()

    def line(self) -> str:
        """The next line of standard output, waited for."""
        assert self._popen is not None
        assert self._popen.stdout is not None
        timer = threading.Timer(60, self._popen.kill)
        timer.start()
        try:
            return self._popen.stdout.readline().rstrip("\n")
        finally:
            timer.cancel()

    def end(self) -> tuple[int, str, str]:
        """Exit status, standard output and standard error."""
        assert self._popen is not None
        out, err = self._popen.communicate(timeout=60)
        return self._popen.returncode, out, err

    def kill(self) -> None:
        if self._popen is not None and self._popen.poll() is None:
            self._popen.kill()
            self._popen.communicate()


Watching = Callable[..., Process]


@pytest.fixture
def watching(tmp_path: Path) -> Iterator[Watching]:
    made: list[Process] = []

    def make(*options: object) -> Process:
        made.append(Process(tmp_path, *options))
        return made[-1]

    yield make
    for process in made:
        process.kill()


def wait_for(what: Callable[[], bool], seconds: float = 30) -> None:
    end = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.02)


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_signal_in_the_midst_of_a_check_cuts_nothing_short(name: str, watching: Watching, plugin: Path) -> None:
    process = watching("--existing", "--compare-with-previous", "--jsonl", "--plugin", plugin)
    data = score("C4.q D4 E4 F4 | G4.w")
    (process.exports / "cue.musicxml").write_bytes(data)
    running = process.start()
    wait_for((process.gate / "at-work").exists)
    running.send_signal(getattr(signal, name))
    time.sleep(0.3)
    assert running.poll() is None, "the check was cut short"
    assert not (process.exports / "cue.findings.json").exists()
    process.open()
    status, out, err = process.end()
    assert status == 1  # a halt was found, and nothing went wrong
    assert err.splitlines() == [
        f"Watching {process.exports}; stop with Ctrl-C.",
        "Stopping: exports that are complete are still checked; Ctrl-C again leaves them out.",
    ]
    line = json.loads(out)
    assert line["path"] == str(process.exports / "cue.musicxml")
    assert schemas.validate("findings-1", line["report"]) == []
    assert line["comparison"] is None
    assert sorted(path.name for path in process.exports.iterdir()) == [
        "cue.checked.musicxml",
        "cue.findings.json",
        "cue.musicxml",
    ]
    assert xmlcheck.unmark((process.exports / "cue.checked.musicxml").read_bytes()) == data
    assert json.loads((process.exports / "cue.findings.json").read_bytes()) == line["report"]
    assert list(process.temporary.iterdir()) == []


def test_one_signal_still_checks_what_is_complete_and_two_do_not(watching: Watching, plugin: Path) -> None:
    told: list[list[str]] = []
    for signals in (1, 2):
        process = watching("--existing", "--no-write", "--plugin", plugin)
        for file in process.gate.iterdir():
            file.unlink()
        for name in ("a", "b", "c"):
            (process.exports / f"{name}.musicxml").write_bytes(score("C4.w"))
        running = process.start()
        wait_for((process.gate / "at-work").exists)
        for _ in range(signals):
            running.send_signal(signal.SIGINT)
            time.sleep(0.2)
        process.open()
        status, out, err = process.end()
        assert status == 1
        assert "Traceback" not in err
        told.append([Path(line.partition(":")[0]).name for line in out.splitlines()])
    assert told == [["a.musicxml", "b.musicxml", "c.musicxml"], ["a.musicxml"]]


def test_a_signal_while_nothing_is_to_be_done_ends_with_0(watching: Watching) -> None:
    process = watching("--quiet", "--compare-with-previous")
    running = process.start()
    wait_for(lambda: any(process.temporary.iterdir()))  # the private folder is there: signals are minded
    time.sleep(0.3)
    running.send_signal(signal.SIGTERM)
    assert process.end() == (0, "", "")
    assert list(process.temporary.iterdir()) == []


def test_an_export_that_cannot_be_read_has_a_line_and_asks_for_2(watching: Watching) -> None:
    process = watching("--existing", "--jsonl", "--quiet", "--no-write")
    (process.exports / "cut.musicxml").write_bytes(score("C4.w")[:-40])
    running = process.start()
    line = json.loads(process.line())
    running.send_signal(signal.SIGINT)
    status, out, err = process.end()
    assert (status, out) == (2, "")
    assert line["path"] == str(process.exports / "cut.musicxml")
    assert err == f"xmlcheck: {line['error']}\n"


@pytest.mark.parametrize("jsonl", [False, True])
def test_a_later_export_says_what_changed(jsonl: bool, watching: Watching) -> None:
    """On the terminal one line more; as JSON the whole comparison, in the same line as the report."""
    process = watching("--compare-with-previous", "--no-write", "--settle", "0.1", *(["--jsonl"] if jsonl else []))
    cue = process.exports / "cue.musicxml"
    cue.write_bytes(score("C4.w | D4.w"))  # there before the watch begins, and not checked
    running = process.start()
    wait_for(lambda: any(process.temporary.glob("xmlcheck-*/*")))
    cue.write_bytes(score("C4.w | E4.w"))
    line = process.line()
    second = process.line() if not jsonl else ""
    running.send_signal(signal.SIGINT)
    status, out, err = process.end()
    assert (status, out) == (0, ""), err
    if not jsonl:
        assert line.startswith(f"{cue}: 0 halt, ")
        assert second == "  since the last export: Music bar 2: D4 is now E4"
        return
    data = json.loads(line)
    assert schemas.validate("comparison-1", data["comparison"]) == []
    assert [change["text"] for change in data["comparison"]["changes"]] == ["D4 is now E4"]
    assert data["comparison"]["new"]["sha256"] == data["report"]["source"]["sha256"]
