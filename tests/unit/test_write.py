"""Writing: all or none, nothing half done, nothing of anybody else's replaced."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

import xmlcheck
from xmlcheck import write
from xmlcheck.errors import BadConfig, WriteFailed
from xmlcheck.output import json as findings_file
from xmlcheck.paths import STDIN, Found
from xmlcheck.write import Target, replaceable, targets

SCORE = b"""<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Lamp</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note></measure></part></score-partwise>"""


def files(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_files_arrive_with_their_folders(tmp_path: Path) -> None:
    write.write({tmp_path / "a" / "b" / "x": b"1", tmp_path / "y": b"2"})
    assert files(tmp_path) == {"a/b/x": b"1", "y": b"2"}


@pytest.mark.parametrize("fails_at", [0, 1])
@pytest.mark.parametrize("step", ["replace", "fsync"])
def test_a_failure_at_any_step_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, fails_at: int
) -> None:
    (tmp_path / "old").write_bytes(b"before")
    calls = 0
    real = getattr(os, step)

    def failing(*arguments: object) -> object:
        nonlocal calls
        calls += 1
        if calls == fails_at + 1:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(*arguments)

    monkeypatch.setattr(os, step, failing)
    with pytest.raises(WriteFailed, match="No space left on device") as caught:
        write.write({tmp_path / "old": b"after", tmp_path / "new": b"after"})
    assert ("old", "new")[fails_at] in str(caught.value)
    assert files(tmp_path) == {"old": b"before"}


def test_an_interrupt_leaves_everything_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write.write({tmp_path / "new": b"after"})
    assert files(tmp_path) == {}


def test_bytes_reach_the_disk_before_the_name_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps: list[str] = []
    for name in ("fsync", "replace"):
        monkeypatch.setattr(os, name, _noted(name, getattr(os, name), steps))
    write.write({tmp_path / "a": b"1", tmp_path / "b": b"2"})
    assert steps == ["fsync", "fsync", "replace", "replace"]


def _noted(name: str, real: Callable[..., object], steps: list[str]) -> Callable[..., object]:
    def call(*arguments: object) -> object:
        steps.append(name)
        return real(*arguments)

    return call


def test_a_long_name_is_no_obstacle(tmp_path: Path) -> None:
    """255 bytes is the limit of most file systems; the temporary name is short whatever the name."""
    name = "x" * 251 + ".txt"
    write.write({tmp_path / name: b"1"})
    assert (tmp_path / name).read_bytes() == b"1"


def test_names_of_outputs() -> None:
    target = Target(Path("desk"), "cue")
    assert target.checked(packed=False) == Path("desk/cue.checked.musicxml")
    assert target.checked(packed=True) == Path("desk/cue.checked.mxl")
    assert target.findings == Path("desk/cue.findings.json")


def test_targets_lie_beside_or_mirror_the_tree(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    for name in ("a/cue.xml", "a/other.musicxml", "top.v2.mxl"):
        (tmp_path / name).write_bytes(SCORE)
    found = [Found(tmp_path / "a" / "cue.xml", tmp_path), Found(tmp_path / "top.v2.mxl"), Found(STDIN)]
    assert list(targets(found, None).values()) == [Target(tmp_path / "a", "cue"), Target(tmp_path, "top.v2")]
    out = tmp_path / "out"
    assert list(targets(found, out).values()) == [Target(out / "a", "cue"), Target(out, "top.v2")]


def test_stems_that_differ_in_case_only_keep_their_suffix(tmp_path: Path) -> None:
    """Many file systems do not tell them apart."""
    for name in ("Cue.xml", "cue.musicxml"):
        (tmp_path / name).write_bytes(SCORE)
    bases = [target.base for target in targets([Found(tmp_path / "Cue.xml"), Found(tmp_path / "cue.musicxml")], None).values()]
    assert bases == ["Cue.xml", "cue.musicxml"]


def test_two_inputs_that_would_meet_are_told(tmp_path: Path) -> None:
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "cue.xml").write_bytes(SCORE)
    found = [Found(tmp_path / "a" / "cue.xml"), Found(tmp_path / "b" / "cue.xml")]
    assert len(targets(found, None)) == 2
    with pytest.raises(BadConfig, match="would both be written to"):
        targets(found, tmp_path / "out")


def test_only_untouched_outputs_of_ours_are_replaced(tmp_path: Path) -> None:
    report = xmlcheck.check(SCORE, config=xmlcheck.Config())
    marked = tmp_path / "cue.checked.musicxml"
    marked.write_bytes(xmlcheck.annotate(SCORE, report))
    assert replaceable(marked)
    marked.write_bytes(xmlcheck.annotate(SCORE, report).replace(b"<step>C", b"<step>D"))
    assert not replaceable(marked), "somebody has worked in it"
    marked.write_bytes(SCORE)
    assert not replaceable(marked), "a score of somebody's"
    findings = tmp_path / "cue.findings.json"
    findings.write_text(findings_file.text(report), encoding="utf-8")
    assert replaceable(findings)
    for other in ("{}", "[1]", "not json", '{"schema": "other"}'):
        findings.write_text(other, encoding="utf-8")
        assert not replaceable(findings)
    assert not replaceable(tmp_path), "a folder"
