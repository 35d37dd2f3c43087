"""`xmlcheck report` and `check --html`: what is written where, from which score the pictures come, what is never overwritten."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from xmlcheck import engrave
from xmlcheck.cli import main

DEMO = Path(__file__).parents[3] / "corpus" / "demo" / "the-crossing.musicxml"
WORDS = "places are told in words"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "cue.musicxml").write_bytes(DEMO.read_bytes())
    assert run("check", str(tmp_path / "cue.musicxml"), "--quiet").exit_code == 1
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def page(path: Path) -> str:
    text = path.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    return text


def pictured(text: str) -> bool:
    return 'class="music"' in text


def test_check_html_writes_a_report_beside_the_other_outputs(tmp_path: Path) -> None:
    (tmp_path / "cue.musicxml").write_bytes(DEMO.read_bytes())
    result = run("check", str(tmp_path / "cue.musicxml"), "--html")
    assert result.exit_code == 1
    assert "cue.report.html" in result.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "cue.checked.musicxml", "cue.findings.json", "cue.musicxml", "cue.report.html",
    ]  # fmt: skip
    assert pictured(page(tmp_path / "cue.report.html")) == engrave.available()
    assert run("check", str(tmp_path / "cue.musicxml"), "--html").exit_code == 1, "its own untouched page is replaced"


def test_a_folder_is_checked_with_its_pages_and_pages_are_no_input(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "cue.musicxml").write_bytes(DEMO.read_bytes())
    for _ in range(2):
        assert run("check", str(tmp_path / "in"), "--beside", "--html", "-q").exit_code == 1
    assert len(list((tmp_path / "in").iterdir())) == 4


def test_the_score_is_found_beside_by_name(folder: Path) -> None:
    result = run("report", str(folder / "cue.findings.json"))
    assert result.exit_code == 0
    assert WORDS not in result.stderr
    assert pictured(page(folder / "cue.report.html")) == engrave.available()


@pytest.mark.parametrize("name", ["cue.checked.musicxml", "renamed by somebody.xml"])
def test_the_score_is_found_by_its_sha256_annotated_or_renamed(folder: Path, name: str) -> None:
    (folder / "cue.checked.musicxml").rename(folder / name)
    (folder / "cue.musicxml").write_bytes(DEMO.with_name("the-crossing.clean.musicxml").read_bytes())  # another score by now
    result = run("report", str(folder / "cue.findings.json"))
    assert result.exit_code == 0
    assert WORDS not in result.stderr


def test_without_the_score_it_is_told_in_words(folder: Path) -> None:
    for path in folder.glob("*.musicxml"):
        path.unlink()
    result = run("report", str(folder / "cue.findings.json"), "--out", str(folder / "deep" / "x.html"))
    assert result.exit_code == 0
    assert WORDS in result.stderr
    assert not pictured(page(folder / "deep" / "x.html"))


def test_another_score_is_refused(folder: Path) -> None:
    result = run("report", str(folder / "cue.findings.json"), "--score", str(DEMO.with_name("the-crossing.clean.musicxml")))
    assert result.exit_code == 2
    assert "SHA-256 differs" in result.stderr
    assert not (folder / "cue.report.html").exists()


def test_a_page_that_somebody_edited_is_not_overwritten(folder: Path) -> None:
    target = folder / "cue.report.html"
    assert run("report", str(folder / "cue.findings.json")).exit_code == 0
    assert run("report", str(folder / "cue.findings.json")).exit_code == 0
    edited = target.read_text(encoding="utf-8").replace("</main>", "<p>my own note</p></main>")
    target.write_text(edited, encoding="utf-8")
    result = run("report", str(folder / "cue.findings.json"))
    assert result.exit_code == 2
    assert target.read_text(encoding="utf-8") == edited


def test_the_page_can_be_printed_to_standard_output(folder: Path) -> None:
    result = run("report", str(folder / "cue.findings.json"), "--out", "-")
    assert result.stdout.startswith("<!DOCTYPE html>")
    assert not (folder / "cue.report.html").exists()


@pytest.mark.parametrize("content", ["", "{}", "[]", '{"schema": "findings-1"}', "not JSON"])
def test_what_is_no_findings_file_is_refused_in_one_sentence(tmp_path: Path, content: str) -> None:
    (tmp_path / "x.json").write_text(content, encoding="utf-8")
    result = run("report", str(tmp_path / "x.json"))
    assert result.exit_code == 2
    assert result.stderr.startswith("xmlcheck: x.json: ")
    assert run("report", str(tmp_path / "none.json")).exit_code == 2


def test_the_page_of_a_report_with_names_that_lead_out_of_the_folder(folder: Path) -> None:
    data = json.loads((folder / "cue.findings.json").read_text(encoding="utf-8"))
    data["source"]["name"] = "../../etc/passwd"
    (folder / "cue.findings.json").write_text(json.dumps(data), encoding="utf-8")
    assert run("report", str(folder / "cue.findings.json")).exit_code == 0
