"""The pytest plugin, by running pytest on folders that hold nothing but data."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from xmlcheck.testing import xsd

pytest_plugins = ["pytester"]

CASES = """
schema = "cases-1"
rule = "toy.first"

[[pass]]
name = "a bar of rest"
notes = "R"

[[fail]]
name = "any note"
notes = "r.h C4"
expect = [{ at = "1:3" }]

[[fail]]
name = "a note that is said to be elsewhere"
notes = "r.h C4"
expect = [{ at = "1:1" }]
"""
RULE = '''
from xmlcheck.plugin import Chair, Hit, Hits, rule

@rule
def first(chair: Chair) -> Hits:
    """The first note."""
    yield from (Hit(at=(tone,)) for tone in chair.tones[:1])
'''
CARD = 'schema="rule-1"\nid="toy.first"\ntitle="t"\ngrade="tidy"\nlabel="l"\nmessage="m"\nwhy="w"\nremedy="r"\n'


@pytest.fixture
def plugin(pytester: pytest.Pytester) -> Path:
    """A plugin folder that is not installed, with one cases file. The folder's name is unique: it is imported in this process."""
    folder = pytester.path / f"toy_{pytester.path.name}"
    rule = folder / "rules" / "first"
    rule.mkdir(parents=True)
    (folder / "plugin.toml").write_text('schema = "plugin-1"\nversion = "1"\n')
    (rule / "rule.toml").write_text(CARD)
    (rule / "rule.py").write_text(RULE)
    (rule / "cases.toml").write_text(CASES)
    return folder


def run(pytester: pytest.Pytester, *arguments: str) -> pytest.RunResult:
    return pytester.runpytest_inprocess("-p", "no:cacheprovider", *arguments)


def test_each_case_is_a_test(pytester: pytest.Pytester, plugin: Path) -> None:
    result = run(pytester, "-v")
    result.assert_outcomes(passed=2, failed=1)
    place = f"{plugin.name}/rules/first/cases.toml"
    result.stdout.fnmatch_lines([f"{place}::toy.first: a bar of rest PASSED*", f"{place}::toy.first: any note PASSED*"])


def test_a_failure_is_told_in_plain_words(pytester: pytest.Pytester, plugin: Path) -> None:
    result = run(pytester)
    result.stdout.fnmatch_lines(
        ["Music:", "    r.h C4", "Instrument: as recognised", "Expected:", "    at 1:1", "Found:", "    at 1:3*"]
    )
    assert "Traceback" not in result.stdout.str()
    assert "trial.py" not in result.stdout.str()


def test_one_case_can_be_run_by_its_id(pytester: pytest.Pytester, plugin: Path) -> None:
    run(pytester, f"{plugin.name}/rules/first/cases.toml::toy.first: any note").assert_outcomes(passed=1)


def test_cases_can_be_chosen_by_words(pytester: pytest.Pytester, plugin: Path) -> None:
    run(pytester, "-k", "elsewhere").assert_outcomes(failed=1, deselected=2)


def test_files_of_other_formats_are_left_alone(pytester: pytest.Pytester) -> None:
    (pytester.path / "cases.toml").write_text('schema = "somebody-elses"\n')
    (pytester.path / "other.toml").write_text(CASES)
    assert run(pytester).ret == pytest.ExitCode.NO_TESTS_COLLECTED


def test_a_broken_file_is_an_error_of_its_own(pytester: pytest.Pytester, plugin: Path) -> None:
    other = plugin / "rules" / "second"
    other.mkdir()
    (other / "cases.toml").write_text(CASES + "[[pass]]\nnotes = 3\n")
    result = run(pytester, "--continue-on-collection-errors")
    result.assert_outcomes(passed=2, failed=1, errors=1)
    result.stdout.fnmatch_lines(["*second/cases.toml: $.pass[[]1]*"])


def test_says_where_the_schema_is_not_installed(
    pytester: pytest.Pytester, plugin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(xsd, "available", lambda: False)
    result = run(pytester)
    result.assert_outcomes(passed=2, failed=1)
    result.stdout.fnmatch_lines([f"3 cases without one assertion: {xsd.MISSING}".replace("[", "[[]")])


def test_says_nothing_where_there_are_no_cases(
    pytester: pytest.Pytester, plugin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(xsd, "available", lambda: False)
    shutil.rmtree(plugin)
    pytester.makepyfile("def test_nothing():\n    pass\n")
    assert "xmlcheck[test]" not in run(pytester).stdout.str()
