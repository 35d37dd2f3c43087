"""Outputs under hostile conditions, each in a process of its own: full disk, limits, no permission, kills, runs side by side.

What must hold is this project's promise: every output is whole, old or new; the input is never touched.
"""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from click.testing import CliRunner

import xmlcheck
from tests.hostile.row import bar, score
from xmlcheck import write
from xmlcheck.cli import main
from xmlcheck.errors import WriteFailed
from xmlcheck.output import json as findings_file

SCORE = score(bars="".join(bar(number=n) for n in range(2, 400)))
BEFORE = score(title="Before")
OUTPUTS = ("cue.checked.musicxml", "cue.findings.json")
ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a score and the outputs of its earlier state."""
    (tmp_path / ".git").mkdir()
    desk = tmp_path / "desk"
    desk.mkdir()
    (desk / "cue.musicxml").write_bytes(SCORE)
    report = xmlcheck.check(BEFORE, config=xmlcheck.Config())
    (desk / OUTPUTS[0]).write_bytes(xmlcheck.annotate(BEFORE, report))
    (desk / OUTPUTS[1]).write_bytes(findings_file.text(report).encode())
    return desk


def state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def started(folder: Path, before: str = "", *arguments: str) -> subprocess.Popen[str]:
    """`xmlcheck check` on the folder's score in a process; `before` is run in it first."""
    code = textwrap.dedent(before) + "\nfrom xmlcheck.cli import main\nmain()"
    command = [sys.executable, "-c", code, "check", *(arguments or (str(folder / "cue.musicxml"),))]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def ended(process: subprocess.Popen[str]) -> tuple[int, str]:
    """Exit status and standard error."""
    _, err = process.communicate(timeout=300)
    return process.returncode, err


def refused(process: subprocess.Popen[str], folder: Path, before: dict[str, bytes], said: str) -> None:
    status, err = ended(process)
    assert status == 2, err
    assert err.count("\n") == 1
    assert err.startswith("xmlcheck: ")
    assert "cannot be written" in err
    assert said in err
    assert state(folder) == before


def test_a_limit_on_the_size_of_files(folder: Path) -> None:
    """RLIMIT_FSIZE with SIGXFSZ ignored: writing over the limit fails with EFBIG, as it fails on a full disk with ENOSPC."""
    before = state(folder)
    limit = """
        import resource, signal
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
    """
    refused(started(folder, limit), folder, before, os.strerror(errno.EFBIG))


@pytest.mark.parametrize("step", ["write", "fsync", "replace", "second replace", "link"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EROFS])
def test_a_full_or_failing_disk(folder: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int) -> None:
    before = state(folder)
    calls = 0

    def fails(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    def fails_twice(old: Path, new: Path) -> None:
        nonlocal calls
        calls += 1
        if calls == 2:
            fails()
        os.rename(old, new)

    if step == "write":
        monkeypatch.setattr(write, "_flushed", fails)
    elif step == "link":  # a file system without links, and no room for a copy either
        real = write._flushed
        monkeypatch.setattr(os, "link", fails)
        monkeypatch.setattr(write, "_flushed", lambda path, data: real(path, data) if len(data) < 9 else fails())
    else:
        name = step.removeprefix("second ")
        monkeypatch.setattr(os, name, fails_twice if step.startswith("second") else fails)
    with pytest.raises(WriteFailed, match="cannot be written") as caught:
        write.write({folder / name: b"new" for name in OUTPUTS})
    assert os.strerror(number) in str(caught.value)
    monkeypatch.undo()
    assert state(folder) == before


def test_putting_back_needs_no_room(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second rename fails and so does everything that writes: the first output is back all the same."""
    before = state(folder)
    real, calls = os.replace, 0

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def replace(old: Path, new: Path) -> None:
        nonlocal calls
        calls += 1
        if calls == 2:
            monkeypatch.setattr(Path, "open", full)
            monkeypatch.setattr(Path, "write_bytes", full)
            full()
        real(old, new)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(WriteFailed):
        write.write({folder / name: b"new" for name in OUTPUTS})
    monkeypatch.undo()
    assert state(folder) == before


def test_without_links_a_copy_is_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", none)
    write.write({folder / OUTPUTS[0]: b"new"})
    assert (folder / OUTPUTS[0]).read_bytes() == b"new"
    assert sorted(state(folder)) == sorted(("cue.musicxml", *OUTPUTS))


def test_a_folder_that_may_not_be_written_to(folder: Path) -> None:
    """A superuser may write anywhere, so the process of one lays that right down first (capset, Linux)."""
    lay_down = ""
    if os.geteuid() == 0:
        if not sys.platform.startswith("linux"):
            pytest.skip("a superuser may write anywhere")
        lay_down = """
            import ctypes
            header = (ctypes.c_uint32 * 2)(0x20080522, 0)  # _LINUX_CAPABILITY_VERSION_3, this process
            assert ctypes.CDLL(None).capset(header, (ctypes.c_uint32 * 6)()) == 0
        """
    folder.chmod(0o555)
    before = state(folder)
    try:
        refused(started(folder, lay_down), folder, before, os.strerror(errno.EACCES))
    finally:
        folder.chmod(0o755)


KILLS = {
    "while the first is written": "os.fsync = lambda _: die()",
    "before anything has arrived": "os.replace = lambda *_: die()",
    "when one has arrived": """
        real = os.replace
        def replace(*names):
            real(*names)
            die()
        os.replace = replace
    """,
}


@pytest.mark.parametrize("when", KILLS)
def test_a_kill_leaves_each_output_whole(folder: Path, when: str) -> None:
    before = state(folder)
    new = xmlcheck.check(folder / "cue.musicxml", config=xmlcheck.Config())
    whole = {OUTPUTS[0]: xmlcheck.annotate(SCORE, new), OUTPUTS[1]: findings_file.text(new).encode()}
    die = "import os, signal\ndef die(): os.kill(os.getpid(), signal.SIGKILL)\n" + textwrap.dedent(KILLS[when])
    assert ended(started(folder, die))[0] == -signal.SIGKILL
    after = state(folder)
    for name in OUTPUTS:
        assert after[name] in (before[name], whole[name])
    assert after["cue.musicxml"] == SCORE
    left = sorted(set(after) - set(before))
    assert left, "the kill came while something was under way"
    assert all(name.startswith(".xmlcheck-") and name.endswith(".part") for name in left)
    # A later run goes its way; what was left is neither taken for a score nor in its way.
    result = CliRunner().invoke(main, ["check", str(folder), "--beside"])
    assert result.exit_code in (0, 1), result.stderr
    assert ".part" not in result.output
    assert {name: content for name, content in state(folder).items() if name in OUTPUTS} == whole


@pytest.mark.parametrize("runs", [3, pytest.param(8, marks=pytest.mark.long)])
def test_runs_side_by_side_on_one_folder(folder: Path, runs: int) -> None:
    """All start at once on four scores with earlier outputs of one; each output is whole, and that of a run alone."""
    for number in range(3):
        (folder / f"lamp{number}.musicxml").write_bytes(score(title=f"Lamp {number}", bars=bar() * 50))
    alone = folder.parent / "alone"
    CliRunner().invoke(main, ["check", str(folder), "--out", str(alone)])
    together = [started(folder, "", str(folder), "--beside") for _ in range(runs)]
    for status, err in map(ended, together):
        assert status in (0, 1), err
    after = state(folder)
    inputs = {name for name in after if not name.endswith((".checked.musicxml", ".findings.json"))}
    assert inputs == {"cue.musicxml", "lamp0.musicxml", "lamp1.musicxml", "lamp2.musicxml"}, "nothing is left over"
    assert {name: content for name, content in after.items() if name not in inputs} == state(alone)
    assert len(state(alone)) == 8
