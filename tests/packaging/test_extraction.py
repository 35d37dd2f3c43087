"""Every folder of `plugins/` is a plugin that somebody else could have written: built and installed as a distribution of its own,
beside a core that brings none, it loads with what it `requires` and nothing more, and its cases hold.

Each run is a Python without site directories, so that neither the checkout nor its editable install is within reach. Cases that
name instruments of other plugins are tried a second time with the distributions that bring those instruments.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tomllib
import zipfile
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from xmlcheck.authoring.requires import named
from xmlcheck.registry import Registry, discover

from .conftest import CHECK, ROOT, Run, build, install

pytestmark = pytest.mark.long
PLUGINS = sorted(path.parent for path in (ROOT / "plugins").glob("*/plugin.toml"))
SCRIPT = Path(__file__).with_name("extracted.py")
every_plugin = pytest.mark.parametrize("plugin", PLUGINS, ids=lambda path: path.name)


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The core alone, installed from a wheel that holds no plugin and names none."""
    project = tmp_path_factory.mktemp("core") / "xmlcheck"
    project.mkdir()
    for name in ("README.md", "LICENSE"):
        shutil.copy(ROOT / name, project / name)
    for name in ("xmlcheck", "schemas", "corpus"):
        shutil.copytree(ROOT / name, project / name, ignore=shutil.ignore_patterns("__pycache__"))
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    text = re.sub(r"\[project\.entry-points\.xmlcheck\]\n(?:\w+ = .*\n)+", "", text)
    text = text.replace('only-include = ["xmlcheck", "plugins"]\nsources = ["plugins"]', 'only-include = ["xmlcheck"]')
    (project / "pyproject.toml").write_text(text, encoding="utf-8")
    wheel = build(project, tmp_path_factory.mktemp("bare-wheel"))
    with zipfile.ZipFile(wheel) as archive:
        assert [name for name in archive.namelist() if name.startswith("xmlcheck_")] == []
        (points,) = (name for name in archive.namelist() if name.endswith("entry_points.txt"))
        assert b"[xmlcheck]" not in archive.read(points)
    return install(wheel, tmp_path_factory.mktemp("bare"))


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every plugin as a wheel of its own, each installed into a folder of its own."""
    homes = {}
    for plugin in PLUGINS:
        project = tmp_path_factory.mktemp("project")
        shutil.copytree(plugin, project / plugin.name, ignore=shutil.ignore_patterns("__pycache__"))
        (project / "pyproject.toml").write_text(pyproject(plugin), encoding="utf-8")
        wheel = build(project, tmp_path_factory.mktemp("wheel"))
        homes[plugin.name] = install(wheel, tmp_path_factory.mktemp("home"))
    return homes


def pyproject(plugin: Path) -> str:
    """What a third party would write: the plugin's own name, version and requirements, and one entry point."""
    about = tomllib.loads((plugin / "plugin.toml").read_text(encoding="utf-8"))
    return f"""
[build-system]
requires = ["hatchling"]
build-backend = "hatchling.build"
[project]
name = "{plugin.name}"
version = "{about["version"]}"
description = "{about["title"]}"
requires-python = ">=3.11"
dependencies = {json.dumps(["xmlcheck", *about["requires"]])}
[project.entry-points.xmlcheck]
{plugin.name} = "{plugin.name}"
[tool.hatch.build.targets.wheel]
only-include = ["{plugin.name}"]
"""


@cache
def whole() -> Registry:
    return discover()


def closure(names: frozenset[str]) -> frozenset[str]:
    """The plugins and all that they require."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += named(ROOT / "plugins" / name)
    return frozenset(found)


def owners(needs: set[str]) -> frozenset[str]:
    """The plugins that bring these instruments; a heading in quotes may be anybody's, so all that bring instruments."""
    if any(need.startswith('"') for need in needs):
        return frozenset(offer.entry.plugin for offer in whole().offers.values())
    return frozenset(whole().offers[need].entry.plugin for need in needs)


def tried(bare: Path, shelf: dict[str, Path], names: frozenset[str], *arguments: str) -> dict[str, Any]:
    """What the script says in a Python that sees the core, the named plugins and third-party libraries, and no more."""
    path = [bare, *(shelf[name] for name in sorted(names)), Path(sysconfig.get_path("purelib"))]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(map(str, path)), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-S", "-W", "error", str(SCRIPT), *arguments]
    done = subprocess.run(command, cwd=bare, env=environment, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    within = (str(bare), *(str(shelf[name]) for name in names), str(SCRIPT.parent))
    assert [origin for origin in answer["origins"] if not origin.startswith(within)] == [], "the checkout is within reach"
    assert answer["plugins"] == sorted(names)
    assert answer["notices"] == []
    return answer


def explainers(rule: str) -> frozenset[str]:
    """The plugins with a rule that folds the findings of this one: a case may keep silent because of it."""
    return frozenset(other.card.plugin for other in whole().rules if rule in other.card.explains)


@every_plugin
def test_a_plugin_stands_alone(plugin: Path, bare: Path, shelf: dict[str, Path]) -> None:
    names = closure(frozenset({plugin.name}))
    alone = tried(bare, shelf, names, plugin.name)
    assert alone["rules"] == [rule.id for rule in whole().rules if rule.card.plugin == plugin.name]
    assert set(alone["profiles"]) == {id for id, offer in whole().offers.items() if offer.entry.plugin == plugin.name}
    folded = {name: explainers(item["rule"]) - names for name, item in alone["wrong"].items()}
    assert [item for name, item in alone["wrong"].items() if not folded[name]] == []
    again = [*alone["left"], *folded]
    if again:
        more = names.union(owners({need for needs in alone["left"].values() for need in needs}), *folded.values())
        beside = tried(bare, shelf, closure(more), plugin.name, *again)
        assert beside["wrong"] == {}
        assert beside["ran"] == len(again)
    assert alone["ran"] + len(alone["left"]) > 0 or not alone["rules"]


def test_the_demo_gives_the_same_from_one_wheel_and_from_many(run: Run, bare: Path, shelf: dict[str, Path]) -> None:
    demo = str(ROOT / "corpus" / "demo" / "the-crossing.musicxml")
    path = os.pathsep.join(map(str, (bare, *shelf.values(), sysconfig.get_path("purelib"))))
    command = [sys.executable, "-S", "-m", "xmlcheck", *CHECK, demo]
    done = subprocess.run(
        command, cwd=bare, env={**os.environ, "PYTHONPATH": path}, capture_output=True, encoding="utf-8", check=False
    )
    assert json.loads(done.stdout) == run(*CHECK, demo).report, done.stderr


def test_the_core_alone_brings_no_rule_and_no_instrument(bare: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join((str(bare), sysconfig.get_path("purelib")))}
    code = "from xmlcheck.registry import discover; r = discover(); print(len(r.rules), len(r.offers), len(r.plugins))"
    done = subprocess.run(
        [sys.executable, "-S", "-c", code], cwd=bare, env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["0", "0", "0"]
