"""Start-up: the help imports almost nothing, and no command imports what it does not use. Faults exit with 2."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from xmlcheck.cli import COMMANDS, main

Run = Callable[..., Result]
PLUGINS = sorted(path.parent for path in (Path(__file__).parents[3] / "plugins").glob("*/plugin.toml"))
HEAVY = {"music21", "rich", "jinja2", "jsonschema", "lxml", "pluggy"}


def modules(*arguments: str) -> set[str]:
    """Modules that a run of the command line has loaded at its end, by their full names."""
    code = (
        "import sys\nfrom xmlcheck.cli import main\n"
        "try:\n    main(sys.argv[1:], prog_name='xmlcheck')\n"
        "except SystemExit as end:\n    assert end.code in (0, None, 1), end.code\n"
        "print('MODULES', *sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=True, encoding="utf-8"
    )
    return set(done.stdout.rpartition("MODULES")[2].split())


def imported(*arguments: str) -> set[str]:
    """The same by the top-level package."""
    return {name.partition(".")[0] for name in modules(*arguments)}


def of_rules(loaded: set[str]) -> set[str]:
    """Those of them that are rules, or what rules share."""
    return {name for name in loaded if ".rules." in name or name.endswith(".derived")}


@pytest.mark.parametrize("arguments", [("--help",), ("--version",), *((name, "--help") for name in COMMANDS)])
def test_the_help_imports_none_of_the_heavy_modules(arguments: tuple[str, ...]) -> None:
    assert not imported(*arguments) & HEAVY


def test_a_check_imports_what_it_needs_and_no_more(cue: Path) -> None:
    loaded = imported("check", str(cue), "--quiet")
    assert {"lxml", "pluggy"} <= loaded, "the measuring itself works"
    assert not loaded & {"music21", "rich", "jinja2", "jsonschema"}


LISTINGS = [
    ("instruments",),
    ("instruments", "zither", "--family", "zither"),
    ("instruments", "--tradition", "persian", "--covers", "D4:A4", "--at-once", "2"),
    ("about", "koto"),
    ("about", "Violin"),
]


@pytest.mark.parametrize("arguments", LISTINGS, ids=" ".join)
def test_a_page_about_instruments_imports_no_rule(arguments: tuple[str, ...]) -> None:
    """What rules ask for stands in the indexes of the plugins."""
    loaded = modules(*arguments)
    assert "xmlcheck.registry" in loaded, "the measuring itself works"
    assert of_rules(loaded) == set(), "or an index is stale: xmlcheck plugins index plugins/*/"


def test_a_page_imports_the_facets_of_its_instrument_only() -> None:
    """The bare list needs none; the koto's tables belong to few of the plugins."""
    brought = {folder.name for folder in PLUGINS if (folder / "facets.py").is_file()}
    assert len(brought) > 8
    listed, koto = (
        {name for name in brought if f"{name}.facets" in modules(*arguments)} for arguments in (LISTINGS[0], LISTINGS[3])
    )
    assert listed == set()
    assert "xmlcheck_zither" in koto
    assert not koto & {"xmlcheck_winds", "xmlcheck_brass", "xmlcheck_keyboard", "xmlcheck_struck"}


def test_a_rule_and_a_check_import_rules(cue: Path) -> None:
    """So that the tests above would notice."""
    assert of_rules(modules("about", "compass.below"))
    assert of_rules(modules("check", str(cue), "--quiet"))


def test_the_help_starts_about_as_fast_as_the_libraries_it_stands_on() -> None:
    """Best of several, alternating, so that a busy machine weighs on both."""
    help_line = [sys.executable, "-m", "xmlcheck", "--help"]
    base_line = [sys.executable, "-c", "import lxml.etree, click"]
    times: dict[str, list[float]] = {"help": [], "base": []}
    for _ in range(7):
        for name, line in (("help", help_line), ("base", base_line)):
            start = time.perf_counter()
            subprocess.run(line, check=True, capture_output=True)
            times[name].append(time.perf_counter() - start)
    assert min(times["help"]) <= 2.5 * min(times["base"])


def test_the_lines_of_the_help_are_those_of_the_commands() -> None:
    context = click.Context(main)
    for name, (_, line) in COMMANDS.items():
        command = main.get_command(context, name)
        assert command is not None
        assert command.name == name
        assert command.short_help == line
        assert command.help
        for parameter in command.params:
            assert isinstance(parameter, click.Argument) or getattr(parameter, "help", None), parameter.name


def test_help_lists_all_commands_and_an_unknown_one_is_refused(run: Run) -> None:
    text = run("--help").stdout
    assert all(f"  {name}" in text for name in COMMANDS)
    assert run("chek").exit_code == 2


def test_the_version_is_that_of_the_reports(run: Run, cue: Path) -> None:
    import json

    version = json.loads(run("check", cue, "--no-write", "--format", "json").stdout)["tool"]["version"]
    assert run("--version").stdout == f"xmlcheck {version}\n"


def test_a_fault_of_our_own_is_no_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit status 1 means findings; a crash must not look like some."""
    from xmlcheck import registry

    def broken(*_: object) -> None:
        raise ZeroDivisionError("a fault")

    monkeypatch.setattr(registry, "catalogue", broken)
    result = CliRunner().invoke(main, ["instruments"])
    assert result.exit_code == 2
    assert "ZeroDivisionError" in result.stderr
    assert "Traceback" in result.stderr


def test_an_interrupt_is_no_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    from xmlcheck import registry

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(registry, "catalogue", stopped)
    result = CliRunner().invoke(main, ["instruments"])
    assert result.exit_code == 2
    assert result.stderr.startswith("xmlcheck: stopped")
