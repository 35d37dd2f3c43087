"""The public API: a ladder from bytes to folders, imported on demand, errors of one sentence."""

from __future__ import annotations

import pickle
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

import xmlcheck
from xmlcheck.errors import BadConfig, Unreadable, XmlcheckError
from xmlcheck.paths import Choices, Outcome

SCORE = b"""<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Lamp</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note></measure></part></score-partwise>"""


@pytest.fixture
def cue(tmp_path: Path) -> Path:
    (tmp_path / ".git").mkdir()
    path = tmp_path / "cue.musicxml"
    path.write_bytes(SCORE)
    return path


def python(code: str) -> str:
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip()


def test_importing_the_package_imports_nothing_else_of_it() -> None:
    code = "import sys, xmlcheck; print(sorted(n for n in sys.modules if n.startswith('xmlcheck') or n in ('lxml', 'click')))"
    assert python(code) == "['xmlcheck']"


def test_every_public_name_is_there_and_documented() -> None:
    assert sorted(xmlcheck._HOME) == sorted(xmlcheck.__all__)
    for name in xmlcheck.__all__:
        assert getattr(xmlcheck, name).__doc__, name
    assert set(xmlcheck.__all__) <= set(dir(xmlcheck))
    assert xmlcheck.__version__
    with pytest.raises(AttributeError, match="no_such"):
        xmlcheck.no_such  # noqa: B018 - the access is the test


def test_no_module_has_the_name_of_an_api_function() -> None:
    """Importing a module binds its name in the package, so it would take the function's place."""
    folder = Path(next(iter(xmlcheck.__path__)))
    modules = {path.stem for path in folder.iterdir()}
    assert modules & set(xmlcheck.__all__) == set()


def test_bytes_and_path_give_the_same_report(cue: Path) -> None:
    by_path, by_bytes = xmlcheck.check(cue), xmlcheck.check(SCORE)
    assert by_path.source.name == "cue.musicxml"
    assert by_path.findings == by_bytes.findings
    assert by_path.source.sha256 == by_bytes.source.sha256
    assert xmlcheck.check(str(cue)) == by_path


def test_the_ladder_goes_up_and_down(cue: Path) -> None:
    report = xmlcheck.check(cue)
    marked = xmlcheck.annotate(SCORE, report)
    assert marked != SCORE
    assert xmlcheck.unmark(marked) == SCORE
    again = xmlcheck.check(marked)
    assert again.findings == report.findings, "an annotated file is checked as it was before"
    assert again.source.sha256 == report.source.sha256
    assert [note.written.name for note in xmlcheck.read(cue).parts[0].notes if note.written] == ["C4"]
    assert xmlcheck.read(marked).parts[0].notes[0].written == xmlcheck.read(SCORE).parts[0].notes[0].written


def test_configuration_as_value_as_file_and_beside_the_score(cue: Path) -> None:
    file = cue.parent / "xmlcheck.toml"
    wrong = '[parts]\nP1 = "no such thing"\n'
    file.write_text(wrong, encoding="utf-8")
    with pytest.raises(BadConfig, match="no such thing"):
        xmlcheck.check(cue)
    assert xmlcheck.check(cue, config=xmlcheck.Config()).parts[0].instrument is None
    with pytest.raises(BadConfig):
        xmlcheck.check(SCORE, config=file)
    with pytest.raises(BadConfig):
        xmlcheck.check(SCORE, config=str(file))
    assert xmlcheck.check(SCORE).parts[0].instrument is None, "bytes have no folder to look in"


def test_a_registry_and_the_parts_can_be_given() -> None:
    registry = xmlcheck.discover()
    instrument = sorted(registry.names.entries)[0]
    report = xmlcheck.check(SCORE, parts={"P1": instrument}, registry=registry)
    assert report.parts[0].instrument == instrument


def test_what_cannot_be_read_raises_one_sentence(tmp_path: Path) -> None:
    for source in (tmp_path / "none.musicxml", tmp_path, b"", b"<score-partwise", b"not xml"):
        with pytest.raises(XmlcheckError) as caught:
            xmlcheck.check(source)
        assert "\n" not in str(caught.value)
        assert str(caught.value).endswith(".")


def folder_of_five(folder: Path) -> list[Path]:
    (folder / "cues").mkdir()
    for name in ("b.musicxml", "a.xml", "c.xml"):
        (folder / "cues" / name).write_bytes(SCORE)
    (folder / "cues" / "bad.musicxml").write_bytes(b"<score-partwise>")
    (folder / "cues" / "z.checked.musicxml").write_bytes(xmlcheck.annotate(SCORE, xmlcheck.check(SCORE)))
    return [folder / "none.musicxml", folder / "cues", folder / "cues" / "c.xml"]


def test_check_paths_gives_one_outcome_per_file_in_order(tmp_path: Path) -> None:
    outcomes = list(xmlcheck.check_paths(folder_of_five(tmp_path)))
    told = [(item.path.name, bool(item.report), type(item.error).__name__, item.skipped is not None) for item in outcomes]
    assert told == [
        ("none.musicxml", False, "Unreadable", False),
        ("a.xml", True, "NoneType", False),
        ("b.musicxml", True, "NoneType", False),
        ("bad.musicxml", False, "Unreadable", False),
        ("c.xml", True, "NoneType", False),
        ("z.checked.musicxml", False, "NoneType", True),
    ]
    assert outcomes[1].data == SCORE


def test_an_executor_changes_nothing(tmp_path: Path) -> None:
    paths = folder_of_five(tmp_path)
    one = [(item.path, item.report, str(item.error)) for item in xmlcheck.check_paths(paths)]
    with ThreadPoolExecutor(3) as executor:
        assert [(item.path, item.report, str(item.error)) for item in xmlcheck.check_paths(paths, executor)] == one


def test_outcomes_and_choices_travel_between_processes(cue: Path) -> None:
    outcome = next(xmlcheck.check_paths([cue]))
    assert pickle.loads(pickle.dumps(outcome)) == outcome
    failed = Outcome(cue, error=Unreadable("cue: no."))
    assert str(pickle.loads(pickle.dumps(failed)).error) == "cue: no."
    choices = Choices(parts={"P1": "x"}, plugins=(cue,))
    assert pickle.loads(pickle.dumps(choices)) == choices


def test_a_fault_in_one_file_is_its_outcome(cue: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from xmlcheck import paths

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("boom")

    monkeypatch.setattr(paths, "check_source", broken)
    outcome = next(xmlcheck.check_paths([cue]))
    assert "RuntimeError: boom" in str(outcome.error)
    assert isinstance(outcome.error.__cause__ if outcome.error else None, RuntimeError)


def test_an_edited_profile_is_read_anew(cue: Path) -> None:
    """Somebody who writes a profile checks, edits, and checks again in one process."""
    profile = cue.parent / "lamp.toml"
    text = 'schema = "profile-1"\nid = "test-lamp"\nnames = {{ en = "test lamp" }}\n[polyphony]\nat_once = {{ value = {} }}\n'
    choices = Choices(parts={"P1": "test-lamp"}, instruments=(profile,))
    seen = []
    for value in (1, 22):
        profile.write_text(text.format(value), encoding="utf-8")
        report = next(xmlcheck.check_paths([cue], choices=choices)).report
        assert report is not None
        seen.append(report.parts[0].profile["facets"]["polyphony"]["at_once"]["value"])
    assert seen == [1, 22]
