"""What pages are told from the indexes is what a check finds out by importing everything; and what is broken stays away from both."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest
from click.testing import CliRunner

from xmlcheck import registry
from xmlcheck.authoring.generated import index_text
from xmlcheck.cli import main
from xmlcheck.errors import BadPlugin
from xmlcheck.facets import Compass
from xmlcheck.folder import INDEX, FolderPlugin
from xmlcheck.plugin import Card, Chair, Grade, Hits, Rule, hookimpl
from xmlcheck.registry import Registry, catalogue, discover
from xmlcheck.rule import needs, rule

CARD = """schema = "rule-1"
id = "lamp.long"
title = "The lamp burns long"
grade = "query"
label = "burns long"
message = "It burns."
why = "This rule is for tests."
remedy = "None is needed."
"""
RULE = '''"""For tests."""

from xmlcheck.plugin import Chair, {facet}, Hits, rule


@rule
def long(chair: Chair, asked: {facet}) -> Hits:
    """None."""
    yield from ()
'''
FACETS = '''"""For tests."""

from dataclasses import dataclass

from xmlcheck.plugin import Cited


@dataclass(frozen=True, slots=True)
class Wick:
    """The wick."""

    FACET = "wick"

    length: Cited[int]
'''
PROFILE = """schema = "profile-1"
id = "lamp"
names = { en = "Causeway lamp" }

[wick]
length = { value = 3, certainty = "memory" }
"""
Make = Callable[..., Path]


@cache
def whole() -> Registry:
    return discover()


@pytest.fixture
def make(tmp_path: Path) -> Make:
    """A plugin folder with one rule, one facet and one profile; each test gives it a name, for Python keeps what it imported."""

    def made(name: str, rule: str = RULE.format(facet="Compass"), facets: str = FACETS) -> Path:
        folder = tmp_path / name
        for path, text in {
            "plugin.toml": 'schema = "plugin-1"\nversion = "3"\n',
            "profiles/lamp.toml": PROFILE,
            "rules/lamp_long/rule.toml": CARD,
            "rules/lamp_long/rule.py": rule,
            "facets.py": facets,
        }.items():
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
            (folder / path).write_text(text, encoding="utf-8")
        return folder

    return made


def told(folder: Path) -> dict[str, frozenset[str]]:
    """The facets that each of the folder's rules asks for, as pages are told."""
    return {asked.card.id: asked.facets for asked in catalogue([folder]).asked if asked.card.plugin == folder.name}


def test_the_indexes_say_what_the_signatures_say() -> None:
    listed = catalogue()
    assert listed.asked == whole().asked
    assert sum(bool(asked.facets) for asked in listed.asked) > 50
    assert listed.entries == whole().entries == whole().names.entries
    assert set(listed.facets) == set(whole().facets)
    assert len(listed.facets) == len(whole().facets)


@pytest.mark.parametrize("id", ["koto", "violin", "timpani", "oud", "trumpet-c", "accordion"])
def test_a_profile_is_the_same_by_both_ways(id: str) -> None:
    assert catalogue().profile(id) == whole().profile(id)


def test_all_names_are_answered_to_by_both_ways() -> None:
    for word in ("Violine", "Pauken", "koto", "santur"):
        assert catalogue().names.find(word).ids == whole().names.find(word).ids
    with pytest.raises(BadPlugin, match="no-such"):
        catalogue().profile("no-such")


def test_a_folder_without_an_index_is_told_by_its_python(make: Make) -> None:
    folder = make("lamp_without_index")
    assert told(folder) == {"lamp.long": frozenset({"compass"})}
    assert catalogue([folder]).profile("lamp").facets["wick"].length.value == 3


def test_a_fresh_index_is_taken_and_a_stale_one_is_not(make: Make) -> None:
    folder = make("lamp_indexed")
    index = json.loads(index_text(folder))
    assert index["python"]["facets"] == ["wick"]
    assert index["python"]["rules"] == {"lamp.long": ["xmlcheck.facts.chair.Chair", "[compass]"]}
    index["python"]["rules"]["lamp.long"] = ["[breath]"]  # something that the signature does not say
    (folder / INDEX).write_text(json.dumps(index), encoding="utf-8")
    assert told(folder) == {"lamp.long": frozenset({"breath"})}, "the rule was imported"
    module = folder / "rules" / "lamp_long" / "rule.py"
    text = module.read_text(encoding="utf-8")
    module.write_text(text.replace("yield from ()", "yield from iter(())"), encoding="utf-8")
    assert told(folder) == {"lamp.long": frozenset({"breath"})}, "a body says nothing of what is asked for"
    module.write_text(text.replace("asked: Compass", "asked: Compass | None"), encoding="utf-8")
    assert told(folder) == {"lamp.long": frozenset({"compass"})}, "a stale index was believed"


def test_an_index_of_before_is_still_good_for_all_else(make: Make) -> None:
    folder = make("lamp_old_index")
    index = json.loads(index_text(folder))
    del index["python"]
    index["plugin"]["version"] = "3.old"
    (folder / INDEX).write_text(json.dumps(index), encoding="utf-8")
    assert FolderPlugin(folder, folder.name, folder.name).version == "3.old", "made anew, not read"
    assert told(folder) == {"lamp.long": frozenset({"compass"})}


def test_a_broken_rule_is_blamed_by_a_check_and_leaves_its_plugin_out_of_both(make: Make) -> None:
    folder = make("lamp_broken", rule="import no_such_module_at_all\n")
    found = discover([folder])
    (notice,) = found.notices
    assert notice == "Plugin lamp_broken 3 is left out: ModuleNotFoundError: No module named 'no_such_module_at_all'"
    assert "lamp" not in found.entries
    assert "lamp" not in catalogue([folder]).entries
    assert told(folder) == {}
    assert "python" not in json.loads(index_text(folder)), "the rest of the index can be written"


def test_a_rule_that_breaks_for_a_reason_outside_its_folder_is_blamed_by_a_check(make: Make) -> None:
    """The index is fresh, so that pages about instruments do not find out."""
    folder = make("lamp_beside", rule="import no_such_module_at_all\n")
    plugin = FolderPlugin(folder, folder.name, folder.name)
    python = {"files": plugin.signatures(), "facets": ["wick"], "derived": {}, "rules": {"lamp.long": []}}
    index = {**json.loads(index_text(folder)), "python": python}
    (folder / INDEX).write_text(json.dumps(index), encoding="utf-8")
    assert told(folder) == {"lamp.long": frozenset()}
    assert catalogue([folder]).profile("lamp").name == "Causeway lamp"
    result = CliRunner().invoke(main, ["about", "lamp.long", "--plugin", str(folder)])
    assert result.exit_code == 2
    assert "'lamp.long'" in result.stderr
    assert "Traceback" not in result.stderr
    (notice,) = discover([folder]).notices
    assert "no_such_module_at_all" in notice


def test_facets_that_cannot_be_imported_are_blamed_by_name(make: Make) -> None:
    folder = make("lamp_facets", facets="import no_such_module_at_all\n")
    plugin = FolderPlugin(folder, folder.name, folder.name)
    python = {"files": plugin.signatures(), "facets": ["wick"], "derived": {}, "rules": {"lamp.long": []}}
    index = {**json.loads(index_text(folder)), "python": python}
    (folder / INDEX).write_text(json.dumps(index), encoding="utf-8")
    with pytest.raises(BadPlugin, match=r"Plugin lamp_facets 3: ModuleNotFoundError"):
        catalogue([folder]).profile("lamp")


def test_a_module_with_hooks_is_asked_as_in_a_check(monkeypatch: pytest.MonkeyPatch) -> None:
    def short(chair: Chair, compass: Compass, seconds: float = 1.0) -> Hits:
        yield from ()

    card = Card("toy.short", "Short", Grade.QUERY, "short", "Short.", "For tests.", "None.", plugin="toy")
    module = ModuleType("toy")
    module.xmlcheck_rules = hookimpl(lambda: [Rule(card, rule(short), needs(short))])  # type: ignore[attr-defined]

    class Point:
        name, group, value, dist = "toy", "xmlcheck", "toy", None

        def load(self) -> ModuleType:
            return module

    short.__annotations__ = {"chair": Chair, "compass": Compass, "seconds": float, "return": Hits}
    monkeypatch.setattr(registry, "entry_points", lambda group: [Point()])
    (asked,) = catalogue().asked
    assert (asked.card.id, asked.facets) == ("toy.short", frozenset({"compass"}))
    assert discover().asked == (asked,)
