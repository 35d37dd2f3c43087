"""Every row of the table of hostile inputs through the command line: what it gets, and that nothing else is touched.

The kinds of input are those that any reader of XML, zips and paths from strangers has to meet; for each the source of its form
stands in the module of its rows (`tests/hostile`).
"""

from __future__ import annotations

import json
import re
import signal
import socket
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import pytest
from click.testing import CliRunner

import xmlcheck
from tests.hostile.got import got, page_says, shown
from tests.hostile.row import Row, score
from tests.hostile.table import ROWS
from xmlcheck import schemas
from xmlcheck.cli import main

SECONDS = 60
"""For one row: against a hang, not a measure of speed; the slowest takes a few seconds."""
STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""Control characters but the line feed, signs that turn the direction, halves of characters."""


@pytest.fixture(scope="session")
def earlier() -> dict[str, bytes]:
    """The outputs of an earlier check of another state of cue.musicxml."""
    report = xmlcheck.check(before := score(title="Before"), config=xmlcheck.Config())
    from xmlcheck.output import json as findings_file

    return {
        "cue.checked.musicxml": xmlcheck.annotate(before, report),
        "cue.findings.json": findings_file.text(report).encode(),
    }


@pytest.fixture(scope="session")
def says() -> dict[str, str]:
    """What tests/hostile/README.md says of each row."""
    return page_says()


def test_the_page_names_every_row_and_no_other(says: dict[str, str]) -> None:
    assert set(says) - {"input", "limit"} == {shown(row, "")[0] for row in ROWS}
    assert len({row.name for row in ROWS}) == len(ROWS) >= 500


@pytest.fixture
def folder(tmp_path: Path, earlier: dict[str, bytes]) -> Path:
    """A folder with earlier outputs in a project of its own, so that no configuration from outside holds."""
    (tmp_path / ".git").mkdir()
    desk = tmp_path / "desk"
    desk.mkdir()
    for name, content in earlier.items():
        (desk / name).write_bytes(content)
    return desk


@pytest.fixture(autouse=True)
def alone(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No network, and an end to whatever hangs."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a connection was tried")

    def late(number: int, frame: FrameType | None) -> None:
        raise TimeoutError(f"over {SECONDS} seconds")

    for name in ("socket", "create_connection", "getaddrinfo"):
        monkeypatch.setattr(socket, name, refuse)
    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(SECONDS)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def state(top: Path) -> dict[str, object]:
    """Everything under a folder: bytes of files, targets of links, kinds of the rest."""
    found: dict[str, object] = {}
    for path in sorted(top.rglob("*")):
        name = str(path.relative_to(top))
        if path.is_symlink():
            found[name] = ("link", str(path.readlink()))
        elif path.is_file():
            found[name] = path.read_bytes() if path.stat().st_size < 100_000_000 else path.stat().st_size
        else:
            found[name] = "folder" if path.is_dir() else "other"
    return found


def told(row: Row, path: Path, folder: Path) -> tuple[int, str, str]:
    """Exit status, standard output and standard error of the check."""
    options = [option.replace("@", str(folder)) for option in row.options]
    result = CliRunner().invoke(main, ["check", str(path), *options])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize("row", [pytest.param(row, id=row.name, marks=[pytest.mark.long] * row.long) for row in ROWS])
def test_a_hostile_input_gets_what_the_table_says(row: Row, folder: Path, says: dict[str, str]) -> None:
    path = row.put(folder)
    before = state(folder.parent)
    status, out, err = told(row, path, folder)
    after = state(folder.parent)
    name, text = shown(row, got(row, status, err))
    assert says.get(name) == text, "tests/hostile/README.md says otherwise; python -m tests.hostile.tell writes it anew"
    assert "Traceback" not in out + err
    assert "please report" not in out + err
    assert not STEERING.search(out + err), ascii(STEERING.sub("<@>", out + err)[:600])
    assert not row.never or row.never not in out + err
    if row.gets == "refused":
        assert status == 2, out + err
        assert after == before
        assert row.says in err, err[:600]
        if "Usage" not in err:  # the command line's own refusal, with a hint
            sentences = err.splitlines()
            assert len(sentences) == 1, err[:600]
            assert sentences[0].startswith("xmlcheck: ")
            assert sentences[0].endswith(".")
        return
    assert status in (0, 1), err[:600]
    assert row.says in " ".join((out + err).split()), (out + err)[:3000]
    assert "is left out there" not in " ".join(out.split()), "a rule of ours failed"
    written = {name: content for name, content in after.items() if before.get(name) != content}
    assert {name: after[name] for name in before if name not in written} == {
        name: before[name] for name in before if name not in written
    }
    assert len(written) == 2, sorted(written)
    findings = next(content for name, content in written.items() if name.endswith(".findings.json"))
    marked = next(content for name, content in written.items() if not name.endswith(".findings.json"))
    assert isinstance(findings, bytes)
    assert isinstance(marked, bytes)
    assert schemas.validate("findings-1", json.loads(findings)) == []
    assert not row.never or row.never.encode() not in marked or row.never.encode() in path.read_bytes()
    if not row.own_marks:
        given = (path if path.is_file() else path / "cue.musicxml").read_bytes()
        assert xmlcheck.unmark(marked) == given or given[:2] == b"PK"
