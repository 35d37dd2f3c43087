"""The doors for third parties, each tried: a profile file, a folder of data, a distribution that is a folder, one with hooks."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from .conftest import (
    CHECK,
    PROFILE,
    RULE,
    Run,
    build,
    install,
    pretend_installed,
    write_plugin,
    write_project,
)

FOUND = {"compass.below"}


def test_without_any_door_the_lute_is_unknown(run: Run, cue: str) -> None:
    report = run(*CHECK, cue)
    assert report.instrument is None
    assert "recognition.unknown" in report.rules


def test_one_profile_file_in_the_configuration(run: Run, cue: str, tmp_path: Path) -> None:
    (tmp_path / "my-lute.toml").write_text(PROFILE)
    (tmp_path / "xmlcheck.toml").write_text('instruments = ["my-lute.toml"]\n')
    report = run(*CHECK, cue)
    assert (report.status, report.instrument, report.err) == (1, "toy-lute", "")
    assert report.rules >= FOUND


def test_one_profile_file_on_the_command_line(run: Run, cue: str, tmp_path: Path) -> None:
    (tmp_path / "my-lute.toml").write_text(PROFILE)
    assert run(*CHECK, "--instrument", "my-lute.toml", cue).rules >= FOUND


def test_a_folder_in_the_configuration_gives_data_and_runs_nothing(run: Run, cue: str, tmp_path: Path) -> None:
    folder = write_plugin(tmp_path / "house")
    trace = "from pathlib import Path\nPath('it-ran').touch()\n"
    for name in ("__init__.py", "facets.py", "derived.py", "rules/long/rule.py"):
        (folder / name).write_text(trace)
    (tmp_path / "xmlcheck.toml").write_text('plugins = ["house"]\n')
    report = run(*CHECK, cue)
    assert (report.status, report.instrument) == (1, "toy-lute")
    assert report.rules >= FOUND
    assert "toy.long" not in report.rules
    assert not (tmp_path / "it-ran").exists()


def test_a_folder_on_the_command_line_gives_rules_too(run: Run, cue: str, tmp_path: Path) -> None:
    write_plugin(tmp_path / "house")
    report = run(*CHECK, "--plugin", "house", cue)
    assert report.rules >= {*FOUND, "toy.long"}
    assert {"name": "house", "version": "3"} in report.report["plugins"]


def test_a_distribution_that_is_a_folder_without_python(run: Run, cue: str, tmp_path: Path) -> None:
    project = write_project(tmp_path / "project", "toy-instruments", "1.4", "toy_instruments")
    write_plugin(project / "toy_instruments", "3", python=False)
    assert not list(project.rglob("*.py"))
    home = install(build(project, tmp_path / "dist"), tmp_path / "home")
    report = run(*CHECK, cue, homes=(home,))
    assert (report.status, report.instrument, report.err) == (1, "toy-lute", "")
    assert report.rules >= FOUND
    assert {"name": "toy_instruments", "version": "3"} in report.report["plugins"]


def test_a_distribution_with_rules(run: Run, cue: str, tmp_path: Path) -> None:
    project = write_project(tmp_path / "project", "toy-rules", "1.4", "toy_rules")
    write_plugin(project / "toy_rules")
    home = install(project, tmp_path / "home")
    assert run(*CHECK, cue, homes=(home,)).rules >= {*FOUND, "toy.long"}


def test_a_distribution_with_hook_functions(run: Run, cue: str, tmp_path: Path) -> None:
    """A house that names its parts in its own way."""
    project = write_project(tmp_path / "project", "toy-house", "1.4", "toy_house")
    (project / "toy_house").mkdir()
    (project / "toy_house" / "__init__.py").write_text(
        '"""House names of parts."""\n\n'
        "from xmlcheck.plugin import hookimpl\n\n"
        '__version__ = "1.4"\n\n'
        "@hookimpl\n"
        "def xmlcheck_identify(name: str, sound: str) -> str | None:\n"
        '    return "toy-lute" if name == "Toy lute" else None\n'
    )
    (tmp_path / "my-lute.toml").write_text(PROFILE.replace('"toy lute"', '"another name"').replace('["toylute"]', "[]"))
    assert run(*CHECK, "--instrument", "my-lute.toml", cue).instrument is None
    home = install(project, tmp_path / "home")
    report = run(*CHECK, "--instrument", "my-lute.toml", cue, homes=(home,))
    assert report.instrument == "toy-lute"
    assert report.report["parts"][0]["evidence"] == "recognised by a plugin"
    assert {"name": "toy_house", "version": "1.4"} in report.report["plugins"]


# Broken plugins: told by name, version and cause, and everything else goes on.


@pytest.fixture
def sound_run(run: Run, cue: str, tmp_path: Path) -> set[str]:
    """Rules that speak where nothing is broken; the lute comes as a profile file."""
    (tmp_path / "my-lute.toml").write_text(PROFILE)
    return run(*CHECK, "--instrument", "my-lute.toml", cue).rules


def after(run: Run, cue: str, home: Path) -> tuple[set[str], list[str]]:
    report = run(*CHECK, "--instrument", "my-lute.toml", cue, homes=(home,))
    return report.rules, report.report["notices"]


def test_a_plugin_that_breaks_on_import(run: Run, cue: str, sound_run: set[str], tmp_path: Path) -> None:
    home = pretend_installed(tmp_path / "home", "toy-broken", "0.7", "toy_broken")
    (home / "toy_broken.py").write_text('raise RuntimeError("the lute is out of tune")\n')
    rules, notices = after(run, cue, home)
    assert rules == sound_run
    assert any("toy_broken 0.7" in text and "RuntimeError: the lute is out of tune" in text for text in notices)


@pytest.mark.parametrize(
    ("file", "text", "cause"),
    [
        ("profiles/toy-harp.toml", "schema = [", "profiles/toy-harp.toml: not TOML"),
        ("profiles/toy-harp.toml", 'schema = "profile-9"', 'opens with schema = "profile-1"'),
        ("rules/long/rule.toml", 'schema = "rule-1"', "the card lacks 'id'"),
        ("rules/long/rule.py", "def broken(:", "SyntaxError"),
        ("rules/long/rule.py", "", "holds 0 functions marked @rule"),
        ("plugin.toml", "name = ", "plugin.toml: not TOML"),
    ],
)
def test_a_plugin_with_a_broken_file(
    run: Run, cue: str, sound_run: set[str], tmp_path: Path, file: str, text: str, cause: str
) -> None:
    home = pretend_installed(tmp_path / "home", "toy-broken", "0.7", "toy_broken")
    folder = write_plugin(home / "toy_broken", "0.7")
    (folder / "profiles" / "toy-lute.toml").unlink()
    (folder / file).write_text(text)
    rules, notices = after(run, cue, home)
    assert rules == sound_run
    blamed = [notice for notice in notices if "toy_broken" in notice]
    assert blamed, notices
    assert all("0.7" in notice and cause in notice for notice in blamed)


def test_a_rule_that_breaks_is_told_and_the_others_go_on(run: Run, cue: str, sound_run: set[str], tmp_path: Path) -> None:
    home = pretend_installed(tmp_path / "home", "toy-broken", "0.7", "toy_broken")
    folder = write_plugin(home / "toy_broken", "0.7")
    (folder / "profiles" / "toy-lute.toml").unlink()
    code = RULE.replace("    yield from", '    raise ZeroDivisionError("by a bar")\n    yield from')
    (folder / "rules" / "long" / "rule.py").write_text(code)
    rules, notices = after(run, cue, home)
    assert rules == sound_run
    assert any("toy.long" in text and "toy_broken" in text and "ZeroDivisionError: by a bar" in text for text in notices)


def test_two_profiles_of_one_id_are_an_error(run: Run, cue: str, tmp_path: Path) -> None:
    for name in ("toy_one", "toy_two"):
        write_plugin(pretend_installed(tmp_path / name, name, "0.7", name) / name, python=False)
    report = run(*CHECK, cue, homes=(tmp_path / "toy_one", tmp_path / "toy_two"))
    assert report.status == 2
    assert all(word in report.err for word in ("toy_one", "toy_two", "toy-lute"))
    assert "Traceback" not in report.err


def test_two_rules_of_one_id_are_an_error(run: Run, cue: str, tmp_path: Path) -> None:
    for name in ("toy_one", "toy_two"):
        folder = write_plugin(pretend_installed(tmp_path / name, name, "0.7", name) / name)
        shutil.rmtree(folder / "profiles")
    report = run(*CHECK, cue, homes=(tmp_path / "toy_one", tmp_path / "toy_two"))
    assert report.status == 2
    assert all(word in report.err for word in ("toy_one", "toy_two", "toy.long"))
    assert "Traceback" not in report.err


def test_a_broken_folder_that_was_asked_for_is_an_error(run: Run, cue: str, tmp_path: Path) -> None:
    folder = write_plugin(tmp_path / "house")
    (folder / "rules" / "long" / "rule.toml").write_text("[")
    report = run(*CHECK, "--plugin", "house", cue)
    assert report.status == 2
    assert "house: rules/long/rule.toml: not TOML" in report.err
    assert "Traceback" not in report.err
