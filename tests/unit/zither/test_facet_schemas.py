"""The published schemas of these facets, and every installed profile against them and against common sense.

Checked against the JSON Schema draft 2020-12 metaschema, the facet types (same keys, same need), and arithmetic.
"""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from xmlcheck.registry import discover
from xmlcheck_zither import facets

FOLDER = Path(__file__).parents[3] / "plugins" / "xmlcheck_zither" / "facets"
KINDS: list[Any] = [
    facets.StringSet,
    facets.Retuning,
    facets.Levers,
    facets.Pedals,
    facets.Pressing,
    facets.Picks,
    facets.Hammers,
]
KINDS += [facets.Ringing]
REGISTRY = discover()


def schema(kind: Any) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((FOLDER / f"{kind.FACET}.schema.json").read_text(encoding="utf-8"))
    return loaded


def plain(table: Any) -> Any:
    """The table as files have it: without the layers that merging notes."""
    if isinstance(table, dict):
        return {key: plain(value) for key, value in table.items() if key != "origin"}
    return [plain(value) for value in table] if isinstance(table, list) else table


OURS = sorted(
    id
    for id, offer in REGISTRY.offers.items()
    if not offer.abstract and any(kind.FACET in REGISTRY.profile(id).tables for kind in KINDS)
)


def test_the_instruments_are_there() -> None:
    assert set(OURS) >= {
        *("guzheng", "koto", "koto-17", "gayageum-12", "gayageum-25", "dan-tranh", "yangqin", "qanun", "santur-persian"),
        *("santoor-indian", "cimbalom", "lever-harp", "harp-pedal", "kora"),
    }


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_schema_and_type_agree(kind: Any) -> None:
    described = schema(kind)
    jsonschema.Draft202012Validator.check_schema(described)
    fields = dataclasses.fields(kind)
    assert set(described["properties"]) == {item.name for item in fields}
    needed = {
        item.name for item in fields if item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING
    }
    assert set(described.get("required", ())) == needed


@pytest.mark.parametrize("id", OURS)
def test_profiles_obey(id: str) -> None:
    profile = REGISTRY.profile(id)
    for kind in KINDS:
        if kind.FACET in profile.tables:
            validator = jsonschema.Draft202012Validator(schema(kind))
            assert [error.message for error in validator.iter_errors(plain(profile.tables[kind.FACET]))] == []


@pytest.mark.parametrize("id", OURS)
def test_strings_make_sense(id: str) -> None:
    """Strings lie within the compass, tunings differ, names match the count, and asking reaches further than granting."""
    profile = REGISTRY.profile(id)
    strings, retuning = profile.get(facets.StringSet), profile.get(facets.Retuning)
    if strings is not None:
        compass = profile.facets["compass"]
        assert len({tuning.id for tuning in strings.tunings}) == len(strings.tunings)
        assert len({tuning.pitches for tuning in strings.tunings}) == len(strings.tunings)
        for tuning in strings.tunings:
            for pitch in tuning.pitches:
                assert compass.lowest.value.cents <= pitch.cents <= compass.highest.value.cents, (tuning.id, pitch.name)
        assert strings.names is None or len(strings.names.value) == len(strings.usual.pitches)
        words = [word.casefold() for tuning in strings.tunings for word in tuning.words]
        assert len(set(words)) == len(words)
    if retuning is not None:
        assert retuning.ask_up is None or retuning.ask_up.value >= retuning.up.value
        assert retuning.ask_down is None or retuning.ask_down.value >= retuning.down.value


@pytest.mark.parametrize("id", OURS)
def test_sustaining_techniques_exist(id: str) -> None:
    profile = REGISTRY.profile(id)
    ringing = profile.get(facets.Ringing)
    if ringing is not None and ringing.sustains is not None:
        assert set(ringing.sustains.value) <= {technique.id for technique in profile.facets["techniques"].has}
