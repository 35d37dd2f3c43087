"""What is shipped: the folders of `plugins/`, the entry points and the packages in the wheel are the same; nothing else is in it."""

from __future__ import annotations

import configparser
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

from .conftest import ROOT, Run, build

PLUGINS = sorted(path for path in (ROOT / "plugins").iterdir() if path.name not in ("__pycache__", ".DS_Store"))


def tree(folder: Path) -> set[str]:
    """Files under a folder that belong to the project, relative to it."""
    found = (path for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return {path.relative_to(folder).as_posix() for path in found}


def contents(wheel: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_every_plugin_folder_is_an_entry_point() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    points = project["project"]["entry-points"]["xmlcheck"]
    assert points == {path.name: path.name for path in PLUGINS}


@pytest.mark.parametrize("plugin", PLUGINS, ids=lambda path: path.name)
def test_every_plugin_folder_could_be_shipped_by_a_third_party(plugin: Path) -> None:
    assert plugin.is_dir(), "a loose file would land in site-packages"
    assert plugin.name.isidentifier()
    assert tomllib.loads((plugin / "plugin.toml").read_text(encoding="utf-8"))["name"] == plugin.name


def test_wheel_holds_core_plugins_schemas_and_demo(wheel: Path) -> None:
    found = contents(wheel)
    expected = {f"xmlcheck/{name}" for name in tree(ROOT / "xmlcheck")}
    expected |= {f"{plugin.name}/{name}" for plugin in PLUGINS for name in tree(plugin)}
    expected |= {f"xmlcheck/schemas/{name}" for name in tree(ROOT / "schemas")}
    demo = {f"xmlcheck/demo/{name}": ROOT / "corpus" / "demo" / name for name in tree(ROOT / "corpus" / "demo")}
    own = {name for name in found if ".dist-info/" not in name}
    assert expected - own == set()
    assert own - expected <= demo.keys()
    assert "xmlcheck/demo/the-crossing.musicxml" in own
    assert [name for name in demo.keys() & own if found[name] != demo[name].read_bytes()] == []


def test_wheel_says_what_the_project_says(wheel: Path) -> None:
    (name,) = (name for name in contents(wheel) if name.endswith("entry_points.txt"))
    points = configparser.ConfigParser()
    points.read_string(contents(wheel)[name].decode())
    assert sorted(points["xmlcheck"]) == [path.name for path in PLUGINS]
    assert points["console_scripts"]["xmlcheck"] == "xmlcheck.cli:main"
    assert points["pytest11"]["xmlcheck"] == "xmlcheck.testing.pytest_plugin"
    assert any(name.endswith("licenses/LICENSE") for name in contents(wheel))


def test_wheel_tells_of_no_machine(wheel: Path) -> None:
    paths = (b"/home/", b"/root/", b"/Users/", b"/private/", b"C:\\Users", b"/tmp/", str(ROOT).encode())
    assert [(name, path) for name, data in contents(wheel).items() for path in paths if path in data] == []


def test_runs_from_the_wheel_alone(run: Run, core: Path, tmp_path: Path) -> None:
    listed = run("plugins")
    assert listed.status == 0
    assert [plugin.name for plugin in PLUGINS] == [line.split()[0] for line in listed.out.splitlines()[1:]]
    shown = run("demo", "--out", "demo")
    assert shown.status == 0, shown.err
    assert (tmp_path / "demo" / "the-crossing.checked.musicxml").is_file()
    assert "xmlcheck/demo" not in shown.out + shown.err


def test_sdist_gives_the_same_wheel(tmp_path: Path) -> None:
    direct = contents(build(ROOT, tmp_path / "direct"))
    source = build(ROOT, tmp_path / "sdist", "sdist")
    with tarfile.open(source) as archive:
        archive.extractall(tmp_path / "unpacked", filter="data")
    (project,) = (tmp_path / "unpacked").iterdir()
    assert {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE"} <= tree(project)
    again = contents(build(project, tmp_path / "again"))
    assert again.keys() == direct.keys()
    assert {name for name, data in direct.items() if again[name] != data} == set()
