"""What a plugin answers to a hook is looked at before it is used: nonsense is blamed on the plugin, and everything else goes on."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pluggy
import pytest

from xmlcheck import hookspecs, registry
from xmlcheck.folder import FolderPlugin
from xmlcheck.plugin import hookimpl
from xmlcheck.registry import Registry

PLUGINS = sorted(path.parent for path in (Path(__file__).parents[2] / "plugins").glob("*/plugin.toml"))
HOOKS = sorted(name for name, value in vars(hookspecs).items() if name.startswith("xmlcheck_") and callable(value))


class Point:
    """An entry point of a distribution that is not installed."""

    name, group, value = "toy", "xmlcheck", "toy"

    class dist:  # named as in importlib.metadata
        version = "0.7"

    def __init__(self, module: ModuleType) -> None:
        self.module = module

    def load(self) -> ModuleType:
        return self.module


def discovered(monkeypatch: pytest.MonkeyPatch, **hooks: Callable[..., Any]) -> Registry:
    """The registry of one plugin with these hook functions."""
    module = ModuleType("toy")
    module.__dict__["__version__"] = "0.7"
    for name, function in hooks.items():
        setattr(module, name, hookimpl(function))
    monkeypatch.setattr(registry, "entry_points", lambda group: [Point(module)])
    return registry.discover()


def test_every_hook_says_what_it_is_for() -> None:
    assert len(HOOKS) >= 6
    for name in HOOKS:
        assert len((inspect.getdoc(getattr(hookspecs, name)) or "").split()) >= 5, name


@pytest.mark.parametrize("folder", PLUGINS, ids=lambda folder: folder.name)
def test_a_folder_answers_the_hooks_that_there_are(folder: Path) -> None:
    manager = pluggy.PluginManager(hookspecs.GROUP)
    manager.add_hookspecs(hookspecs)
    manager.register(FolderPlugin(folder, folder.name, folder.name), folder.name)
    manager.check_pending()


def test_a_sound_answer_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    found = discovered(monkeypatch, xmlcheck_identify=lambda name, sound: "toy-lute", xmlcheck_rules=lambda: [])
    assert found.notices == ()
    assert [info.name for info in found.plugins] == ["toy"]
    assert found.hooks.xmlcheck_identify(name="Lute", sound="") == "toy-lute"


@pytest.mark.parametrize(
    ("name", "answer", "says"),
    [
        ("xmlcheck_profiles", ["lute"], "'lute'"),
        ("xmlcheck_rules", ["toy.long"], "'toy.long'"),
        ("xmlcheck_rules", None, "NoneType"),
        ("xmlcheck_facets", [3], "3"),
        ("xmlcheck_facets", [int], "int"),
        ("xmlcheck_derived", ["x"], "'x'"),
        ("xmlcheck_known", [{}], "{}"),
    ],
)
def test_an_answer_of_another_kind_is_blamed(monkeypatch: pytest.MonkeyPatch, name: str, answer: Any, says: str) -> None:
    found = discovered(monkeypatch, **{name: lambda: answer})
    (notice,) = found.notices
    assert notice.startswith("Plugin toy 0.7 is left out")
    assert says in notice
    assert found.plugins == ()
    assert found.rules == ()


def test_a_hook_that_asks_for_more_than_there_is_is_blamed(monkeypatch: pytest.MonkeyPatch) -> None:
    (notice,) = discovered(monkeypatch, xmlcheck_identify=lambda name, tuning: None).notices
    assert notice.startswith("Plugin toy 0.7 is left out")
    assert "tuning" in notice


def test_a_hook_that_there_is_not_is_blamed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A slip of the pen would otherwise leave a plugin silent for ever."""
    (notice,) = discovered(monkeypatch, xmlcheck_rulez=lambda: []).notices
    assert "xmlcheck_rulez" in notice
