"""findings-1 is the interface: the schema, the classes and what a check really gives say the same."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

import xmlcheck
from xmlcheck import finding as values
from xmlcheck import schemas
from xmlcheck.errors import BadConfig
from xmlcheck.finding import Report
from xmlcheck.output import json as findings_file

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = sorted((ROOT / "tests" / "samples" / "findings-1").glob("*.json"))
SCORES = sorted(path for path in (ROOT / "corpus").rglob("*") if path.suffix in (".musicxml", ".mxl"))
SCHEMA = schemas.load("findings-1")

CLASSES = {
    "source": values.SourceInfo,
    "part": values.PartInfo,
    "finding": values.Finding,
    "acceptance": values.Acceptance,
    "place": values.Place,
    "note": values.NoteName,
    "plan": values.Plan,
    "plan_line": values.PlanLine,
}


@pytest.mark.parametrize("name", CLASSES)
def test_a_schema_lists_exactly_the_fields_of_its_class(name: str) -> None:
    keys = [item.name for item in fields(CLASSES[name])]
    assert sorted(SCHEMA["$defs"][name]["properties"]) == sorted(keys)
    assert sorted(SCHEMA["$defs"][name]["required"]) == sorted(keys), "a file of ours has every key; unknown is null"


def test_the_top_level_is_what_a_report_gives() -> None:
    top = _sample().to_dict()
    assert list(SCHEMA["properties"]) == list(top)
    assert SCHEMA["required"] == list(top)


def test_the_enumerations_are_those_of_the_classes() -> None:
    assert SCHEMA["$defs"]["finding"]["properties"]["grade"]["enum"] == [grade.value for grade in reversed(values.Grade)]
    assert SCHEMA["$defs"]["certainty"]["enum"] == [item.value for item in reversed(values.Certainty)]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_is_valid_and_comes_back_the_same(path: Path) -> None:
    """Documents written by earlier versions: they must validate and be read for ever."""
    text = path.read_text(encoding="utf-8")
    assert schemas.validate("findings-1", json.loads(text)) == []
    assert findings_file.text(findings_file.parse(text, path.name)) == text


def test_there_are_samples_and_scores() -> None:
    assert SAMPLES
    assert SCORES


@pytest.mark.parametrize("path", SCORES, ids=lambda path: path.name)
def test_what_a_check_gives_is_valid_and_equal_twice(path: Path) -> None:
    report = xmlcheck.check(path, config=xmlcheck.Config())
    text = findings_file.text(report)
    assert schemas.validate("findings-1", json.loads(text)) == []
    assert findings_file.text(xmlcheck.check(path, config=xmlcheck.Config())) == text
    assert findings_file.text(Report.from_dict(json.loads(text))) == text


def test_unknown_keys_are_ignored() -> None:
    data = _sample().to_dict()
    data["later"] = data["findings"][0]["later"] = data["findings"][0]["place"]["later"] = {"a": 1}
    assert schemas.validate("findings-1", data) == []
    assert Report.from_dict(data) == Report.from_dict(_sample().to_dict())


def _sample() -> Report:
    return Report.from_dict(json.loads(SAMPLES[0].read_text(encoding="utf-8")))


def _leaves(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    items = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, item in items:
        yield (*path, key)
        yield from _leaves(item, (*path, key))


OPEN = {"values", "facets"}
"""Below these keys rules and plugins say what stands there."""
PATHS = [path for path in _leaves(_sample().to_dict()) if not OPEN & set(path[:-1])]


@pytest.mark.parametrize("path", PATHS, ids=lambda path: ".".join(map(str, path)))
def test_a_value_of_a_kind_that_no_key_has_is_refused(path: tuple[str | int, ...]) -> None:
    """Every place of the sample in turn becomes a list in a list, which findings-1 has nowhere."""
    data = copy.deepcopy(_sample().to_dict())
    node: Any = data
    for step in path[:-1]:
        node = node[step]
    node[path[-1]] = [[]]
    assert schemas.validate("findings-1", data) != []


@pytest.mark.parametrize(
    "path", [path for path in PATHS if isinstance(path[-1], str)], ids=lambda path: ".".join(map(str, path))
)
def test_a_missing_key_is_refused(path: tuple[str | int, ...]) -> None:
    data = copy.deepcopy(_sample().to_dict())
    node: Any = data
    for step in path[:-1]:
        node = node[step]
    del node[path[-1]]
    inside_snapshot = "profile" in path[:-1]
    assert (schemas.validate("findings-1", data) == []) == inside_snapshot


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("schema",), "findings-2"),
        (("findings", 0, "grade"), "stop"),
        (("findings", 0, "certainty"), "sure"),
        (("findings", 0, "number"), 0),
        (("findings", 0, "rule"), "below"),
        (("findings", 0, "place", "beat"), "2.5"),
        (("findings", 0, "notes", 0, "sounding"), "H3"),
        (("parts", 0, "compass"), ["C4"]),
        (("parts", 0, "match_certainty"), "maybe"),
        (("source", "sha256"), "abc"),
        (("summary", "halt"), -1),
    ],
)
def test_a_value_out_of_its_range_is_refused(path: tuple[str | int, ...], value: Any) -> None:
    data: Any = copy.deepcopy(_sample().to_dict())
    node = data
    for step in path[:-1]:
        node = node[step]
    node[path[-1]] = value
    assert len(schemas.validate("findings-1", data)) == 1


def test_a_file_that_is_none_is_told_in_one_sentence() -> None:
    with pytest.raises(BadConfig, match=r"cue\.findings\.json: not JSON"):
        findings_file.parse("{", "cue.findings.json")
    with pytest.raises(BadConfig, match=r"not a findings file: \$: .*required"):
        findings_file.parse("{}", "cue.findings.json")


def test_a_value_that_json_has_not_is_refused() -> None:
    """RFC 8259, section 6: NaN and infinities are no JSON."""
    bad = Report.from_dict({**_sample().to_dict(), "words_size": float("nan")})
    with pytest.raises(ValueError, match="JSON"):
        findings_file.text(bad)
