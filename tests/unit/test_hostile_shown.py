"""Names and texts that mean to steer a terminal or a page: shown harmlessly in tables, JSON and HTML.

What a page may hold is read off the page by html5lib, a parser by the rules of the HTML standard.
"""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree.ElementTree import Element

import html5lib
import pytest
from click.testing import CliRunner

import xmlcheck
from tests.hostile.row import Row
from tests.hostile.rows_names import NAMES
from tests.unit.test_hostile_inputs import STEERING
from xmlcheck.cli import main

WORDS = ("escape", "steer", "script", "markup", "turn", "UTF-8", "braces", "new line")
STEERED = [row for row in NAMES if row.gets == "checked" and any(word in row.name for word in WORDS)]


def checked(row: Row, folder: Path, *options: str) -> tuple[str, str, Path]:
    (folder / ".git").mkdir()
    (folder / "desk").mkdir()
    path = row.put(folder / "desk")
    result = CliRunner().invoke(main, ["check", str(path), "--out", str(folder / "out"), *options])
    assert result.exit_code in (0, 1), result.output[-2000:]
    return result.stdout, result.stderr, folder / "out"


def test_there_is_something_to_look_at() -> None:
    assert len(STEERED) >= 12


@pytest.mark.parametrize("row", STEERED, ids=lambda row: row.name)
def test_json_is_the_same_on_a_terminal_and_in_the_file(row: Row, tmp_path: Path) -> None:
    out, err, folder = checked(row, tmp_path, "--format", "json")
    assert not STEERING.search(out + err)
    written = next(folder.glob("*.findings.json")).read_text(encoding="utf-8")
    assert not STEERING.search(written)
    assert json.loads(out) == json.loads(written)
    assert xmlcheck.Report.from_dict(json.loads(written)).to_dict() == json.loads(written)


@pytest.mark.parametrize("row", STEERED, ids=lambda row: row.name)
def test_a_page_holds_texts_and_nothing_that_acts(row: Row, tmp_path: Path) -> None:
    _, _, folder = checked(row, tmp_path, "--html")
    text = next(folder.glob("*.report.html")).read_text(encoding="utf-8")
    assert not STEERING.search(text)
    page: Element = html5lib.parse(text, namespaceHTMLElements=False)
    assert len(page.findall(".//script")) == 1, "our own"
    for element in page.iter():
        for name, value in element.attrib.items():
            assert not str(name).lower().startswith("on"), name
            assert not value.strip().lower().startswith(("javascript:", "http:", "https:", "file:", "//")) or "w3.org" in value
    assert not page.findall(".//img") or all(one.get("src", "").startswith("data:") for one in page.findall(".//img"))


def test_values_with_signs_that_steer_survive_in_json(tmp_path: Path) -> None:
    """They are spelt otherwise, not changed: the part's name is the file's."""
    row = next(row for row in NAMES if row.name == "a part name with escape sequences and turned signs")
    out, _, _ = checked(row, tmp_path, "--format", "json")
    assert json.loads(out)["parts"][0]["name"] == "Violin\x9b31m\x9d0;lamp\x9c\u202e"
