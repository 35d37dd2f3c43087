"""Profiles: layers merged leaf by leaf, facets built by their types, faults blamed by file and key."""

from __future__ import annotations

from typing import Any

import pytest

from xmlcheck.errors import BadPlugin
from xmlcheck.facets import UNIVERSAL, Compass, Techniques
from xmlcheck.finding import Certainty
from xmlcheck.profile import build, merged, read_table

KINDS: dict[str, type] = {kind.FACET: kind for kind in UNIVERSAL}  # type: ignore[attr-defined]


def cited(value: object, **more: object) -> dict[str, object]:
    return {"value": value, "cite": ["H"], "certainty": "documented", **more}


def lamp(**tables: Any) -> dict[str, Any]:
    return {"schema": "profile-1", "id": "lamp-lute", "sources": {"H": "House list"}, **tables}


def test_a_leaf_of_the_upper_layer_wins_and_tells_its_origin() -> None:
    lower = {"compass": {"lowest": cited("C3"), "highest": cited("C5")}}
    upper = {"compass": {"highest": cited("D5")}}
    table = merged(lower, upper, "xmlcheck.toml players.Ada")
    profile = build(lamp(**table), KINDS, "house", "lamp.toml")
    compass = profile.get(Compass)
    assert compass is not None
    assert (compass.lowest.value.name, compass.lowest.origin) == ("C3", "")
    assert (compass.highest.value.name, compass.highest.origin) == ("D5", "xmlcheck.toml players.Ada")
    assert lower["compass"]["highest"]["value"] == "C5"


def test_records_merge_by_id_and_can_be_dropped() -> None:
    family = {"techniques": {"has": [{"id": "a", "title": "A"}, {"id": "b", "title": "B"}]}}
    member = {"techniques": {"has": [{"id": "b", "title": "B here"}, {"id": "c", "title": "C"}, {"id": "a", "drop": True}]}}
    table = merged(family, member)
    profile = build(lamp(**table), KINDS, "house", "lamp.toml")
    techniques = profile.get(Techniques)
    assert techniques is not None
    assert [(item.id, item.title) for item in techniques.has] == [("b", "B here"), ("c", "C")]


def test_lists_without_ids_are_leaves() -> None:
    assert merged({"aliases": ["a"]}, {"aliases": ["b"]}) == {"aliases": ["b"]}


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        ({"compass": {"lowest": cited("C3")}}, "[compass]: the key 'highest' is missing"),
        ({"compass": {"lowest": cited("H9"), "highest": cited("C5")}}, "lowest"),
        ({"compass": {"lowest": "C3", "highest": cited("C5")}}, "expected { value"),
        ({"compass": {"lowest": cited("C3"), "highest": cited("C5"), "hihgest": cited("C5")}}, "unknown key 'hihgest'"),
        ({"polyphony": {"at_once": cited("two")}}, "expected int"),
        ({"polyphony": {"at_once": cited(True)}}, "expected int"),
        ({"polyphony": {"at_once": cited(2, certainty="sure")}}, "not a valid Certainty"),
        ({"techniques": {"has": "pizz."}}, "expected a list"),
    ],
)
def test_faults_name_file_table_and_key(tables: dict[str, Any], told: str) -> None:
    with pytest.raises(BadPlugin) as caught:
        build(lamp(**tables), KINDS, "house", "lamp.toml")
    assert "lamp.toml" in str(caught.value)
    assert told in str(caught.value)


def test_a_table_without_owner_is_kept_unchecked() -> None:
    profile = build(lamp(wicks={"length": 3}), KINDS, "house", "lamp.toml")
    assert profile.unowned == ("wicks",)
    assert profile.tables["wicks"] == {"length": 3}


def test_an_uncited_value_counts_as_memory() -> None:
    profile = build(lamp(polyphony={"at_once": {"value": 2}}), KINDS, "house", "lamp.toml")
    assert profile.facets["polyphony"].at_once.certainty is Certainty.MEMORY


@pytest.mark.parametrize("text", ["not toml = = 1", 'schema = "profile-1"', 'schema = "other"\nid = "x"'])
def test_a_file_that_is_no_profile_is_refused(text: str) -> None:
    with pytest.raises(BadPlugin, match=r"lamp\.toml"):
        read_table(text, "lamp.toml")
