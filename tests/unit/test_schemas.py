"""The published schemas: valid themselves, documented throughout, and told against in sentences."""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from xmlcheck import schemas

CHECKOUT = Path(__file__).resolve().parents[2] / "schemas"


def test_the_names_are_those_of_the_folder() -> None:
    assert set(schemas.names()) >= {"config-1", "findings-1"}
    if CHECKOUT.is_dir():
        assert set(schemas.names()) == {file.name.removesuffix(".schema.json") for file in CHECKOUT.glob("*.schema.json")}


@pytest.mark.parametrize("name", schemas.names())
def test_every_schema_is_one(name: str) -> None:
    """Against the metaschema of JSON Schema draft 2020-12, as the jsonschema library ships it."""
    schema = schemas.load(name)
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"] == f"{name}.schema.json"
    assert schema["description"]


@pytest.mark.parametrize("name", ["config-1", "findings-1"])
def test_every_key_is_described(name: str) -> None:
    bare = [path for path, item in _properties(schemas.load(name), name) if not item.get("description", "").strip()]
    assert bare == []


def _properties(schema: Any, path: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(schema, dict):
        for key, item in schema.get("properties", {}).items():
            yield f"{path}.{key}", item
        for key, item in schema.items():
            yield from _properties(item, f"{path}.{key}")
    elif isinstance(schema, list):
        for item in schema:
            yield from _properties(item, path)


def test_errors_are_sentences_with_their_path() -> None:
    wrong = schemas.validate("config-1", {"hold_at": "stop", "accept": [{"id": "a", "by": "b"}]})
    assert wrong == [
        "$.accept[0]: 'why' is a required property.",
        "$.hold_at: 'stop' is not one of ['halt', 'query', 'tidy'].",
    ]


def test_many_and_huge_errors_stay_readable() -> None:
    wrong = schemas.validate("config-1", {"accept": [{"id": "x" * 5000, "why": number} for number in range(100)]})
    assert len(wrong) == schemas.MOST
    assert max(map(len, wrong)) < 500


def test_of_alternatives_the_nearest_is_told() -> None:
    sample = json.loads((Path(__file__).parents[1] / "samples/findings-1/hand-made.json").read_text(encoding="utf-8"))
    sample["findings"][0]["accepted"] = {"by": "Ines Varga"}
    assert schemas.validate("findings-1", sample) == ["$.findings[0].accepted: 'why' is a required property."]


def test_an_unknown_name_is_a_key_error() -> None:
    with pytest.raises(KeyError, match="findings-1"):
        schemas.load("../pyproject")


def test_an_installed_package_reads_its_own_schemas(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A wheel has no checkout around it: there the schemas stand in the package."""
    (tmp_path / "schemas").mkdir()
    (tmp_path / "schemas" / "own-1.schema.json").write_text('{"type": "object"}', encoding="utf-8")
    monkeypatch.setattr(schemas, "files", lambda package: tmp_path if package == "xmlcheck" else files(package))
    schemas._folder.cache_clear()
    try:
        assert schemas.names() == ("own-1",)
        assert schemas.load("own-1") == {"type": "object"}
    finally:
        schemas._folder.cache_clear()
