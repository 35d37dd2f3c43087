"""Real wheels, built with the project's own build backend and installed into folders of their own; nothing is downloaded."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from xmlcheck.testing import Part, score

ROOT = Path(__file__).parents[2]
PROFILE = """
schema = "profile-1"
id = "toy-lute"
names = { en = "toy lute" }
aliases = ["toylute"]
[compass]
lowest = { value = "D3", cite = ["a"], certainty = "player" }
highest = { value = "D5", cite = ["a"], certainty = "player" }
[sources]
a = "An invented player of an invented lute"
"""
RULE = '''
from xmlcheck.plugin import Chair, Hit, Hits, rule

@rule
def long(chair: Chair) -> Hits:
    """A note of a whole bar."""
    yield from (Hit(at=(tone,), values={"length": tone.first.type}) for tone in chair.tones if tone.first.type == "whole")
'''
CARD = """
schema = "rule-1"
id = "toy.long"
title = "Long note"
grade = "tidy"
label = "long"
message = "A {length} note."
why = "The toy fades."
remedy = "Ask the player."
"""


@dataclass(frozen=True)
class Ran:
    """What one run of the command line gave."""

    status: int
    out: str
    err: str

    @property
    def report(self) -> dict[str, Any]:
        """The findings, where the run printed JSON."""
        loaded: dict[str, Any] = json.loads(self.out)
        return loaded

    @property
    def rules(self) -> set[str]:
        return {finding["rule"] for finding in self.report["findings"]}

    @property
    def instrument(self) -> str | None:
        found: str | None = self.report["parts"][0]["instrument"]
        return found


Run = Callable[..., Ran]


def build(project: Path, target: Path, kind: str = "wheel") -> Path:
    """The wheel or sdist of a project folder, made by hatchling without isolation."""
    pytest.importorskip("hatchling")
    command = [sys.executable, "-m", "hatchling", "build", "--target", kind, "--directory", str(target)]
    subprocess.run(command, cwd=project, check=True, capture_output=True, text=True)
    (made,) = target.glob("*.whl" if kind == "wheel" else "*.tar.gz")
    return made


def install(what: Path, home: Path) -> Path:
    """A wheel or project folder installed into a folder. No index is asked, no dependency is fetched."""
    options = ["--no-deps", "--no-index", "--no-build-isolation", "--disable-pip-version-check", "--quiet"]
    command = [sys.executable, "-m", "pip", "install", *options, "--target", str(home), str(what)]
    subprocess.run(command, check=True, capture_output=True, text=True)
    return home


def write_plugin(folder: Path, version: str = "3", python: bool = True) -> Path:
    """A plugin folder with one profile and, where `python`, one rule; it holds no `__init__.py`."""
    (folder / "profiles").mkdir(parents=True)
    (folder / "plugin.toml").write_text(f'schema = "plugin-1"\nname = "{folder.name}"\nversion = "{version}"\n')
    (folder / "profiles" / "toy-lute.toml").write_text(PROFILE)
    if python:
        (folder / "rules" / "long").mkdir(parents=True)
        (folder / "rules" / "long" / "rule.toml").write_text(CARD)
        (folder / "rules" / "long" / "rule.py").write_text(RULE)
    return folder


def write_project(folder: Path, name: str, version: str, package: str) -> Path:
    """The pyproject.toml of a distribution with one package and one entry point that names it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "pyproject.toml").write_text(
        f"""
        [build-system]
        requires = ["hatchling"]
        build-backend = "hatchling.build"
        [project]
        name = "{name}"
        version = "{version}"
        [project.entry-points.xmlcheck]
        {package} = "{package}"
        [tool.hatch.build.targets.wheel]
        only-include = ["{package}"]
        """
    )
    return folder


def pretend_installed(home: Path, name: str, version: str, package: str) -> Path:
    """What an installed distribution leaves beside its package: quicker than a build, and the same to whoever looks."""
    info = home / f"{name.replace('-', '_')}-{version}.dist-info"
    info.mkdir(parents=True)
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
    (info / "entry_points.txt").write_text(f"[xmlcheck]\n{package} = {package}\n")
    return home


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this project."""
    return build(ROOT, tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="session")
def core(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder into which that wheel is installed, so that the checkout is not what runs."""
    return install(wheel, tmp_path_factory.mktemp("core"))


@pytest.fixture
def run(core: Path, tmp_path: Path) -> Run:
    """Runs `python -m xmlcheck` in a process of its own, out of the wheel and the folders given, in `tmp_path`."""

    def ran(*arguments: str, homes: tuple[Path, ...] = ()) -> Ran:
        path = os.pathsep.join(map(str, (core, *homes)))
        environment = {
            **os.environ,
            "PYTHONPATH": path,
            "PYTHONDONTWRITEBYTECODE": "1",
            "PYTHONWARNINGS": "error",
            "COLUMNS": "200",
        }
        command = [sys.executable, "-m", "xmlcheck", *arguments]
        done = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, encoding="utf-8", check=False)
        return Ran(done.returncode, done.stdout, done.stderr)

    return ran


@pytest.fixture
def cue(tmp_path: Path) -> str:
    """A score for the invented lute, with a note under its compass and a whole note; its name in `tmp_path`."""
    (tmp_path / "cue.musicxml").write_bytes(score(Part("tempo=90 <mf> C#3.h D3 | A3.w", "Toy lute")))
    return "cue.musicxml"


CHECK = ("check", "--no-write", "--format", "json")
