"""The published schemas of the string facets, and every installed profile against them and against common sense.

Checked against the JSON Schema draft 2020-12 metaschema, against the facet types (same keys, same need), and against arithmetic:
frets rise, and no string is retuned by more than an octave.
"""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from xmlcheck.registry import discover
from xmlcheck_bowed.facets import Bowing
from xmlcheck_plucked.facets import Plucking
from xmlcheck_strings.facets import Bow, Fingerboard, Hand, Harmonics, Strings

PLUGINS = Path(__file__).parents[3] / "plugins"
OWNERS: dict[type, str] = {
    **dict.fromkeys((Strings, Fingerboard, Hand, Bow, Harmonics), "xmlcheck_strings"),
    Bowing: "xmlcheck_bowed",
    Plucking: "xmlcheck_plucked",
}
KINDS = sorted(OWNERS, key=lambda kind: kind.__name__)
REGISTRY = discover()


def facet(kind: type) -> str:
    return str(kind.FACET)  # type: ignore[attr-defined]


def strung(id: str | None) -> bool:
    """Whether a profile, or a family that it extends, has one of the tables."""
    offer = REGISTRY.offers.get(id or "")
    table = offer.table() if offer is not None else {}
    return any(facet(kind) in table for kind in KINDS) or ("extends" in table and strung(table["extends"]))


def plain(table: Any) -> Any:
    """The table as files have it: without the layers that merging notes."""
    if isinstance(table, dict):
        return {key: plain(value) for key, value in table.items() if key != "origin"}
    return [plain(value) for value in table] if isinstance(table, list) else table


STRUNG = sorted(id for id, offer in REGISTRY.offers.items() if not offer.abstract and strung(id))


def schema(kind: Any) -> dict[str, Any]:
    path = PLUGINS / OWNERS[kind] / "facets" / f"{facet(kind)}.schema.json"
    loaded: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return loaded


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_schema_and_type_agree(kind: Any) -> None:
    described = schema(kind)
    jsonschema.Draft202012Validator.check_schema(described)
    fields = dataclasses.fields(kind)
    assert set(described["properties"]) == {item.name for item in fields}
    needed = {item.name for item in fields if item.default is dataclasses.MISSING}
    assert set(described.get("required", ())) == needed


@pytest.mark.parametrize("id", STRUNG)
def test_profiles_obey(id: str) -> None:
    profile = REGISTRY.profile(id)
    for kind in KINDS:
        if facet(kind) in profile.tables:
            validator = jsonschema.Draft202012Validator(schema(kind))
            assert [error.message for error in validator.iter_errors(plain(profile.tables[facet(kind)]))] == []


@pytest.mark.parametrize("id", STRUNG)
def test_strings_make_sense(id: str) -> None:
    profile = REGISTRY.profile(id)
    strings, board, hand = profile.get(Strings), profile.get(Fingerboard), profile.get(Hand)
    if strings is None:
        return
    usual = [course.pitch.cents for course in strings.courses]
    assert len({tuning.id for tuning in strings.tunings}) == len(strings.tunings)
    for tuning in strings.tunings:
        ends = zip(reversed(tuning.pitches), reversed(usual), strict=False)
        assert tuning.restring or all(abs(pitch.cents - cents) <= 1200 for pitch, cents in ends), tuning.id
    if board is not None and board.cents is not None:
        assert list(board.cents.value) == sorted(set(board.cents.value))
    if hand is not None and hand.reach_semitones is not None and hand.stretch_semitones is not None:
        assert hand.reach_semitones.value <= hand.stretch_semitones.value
