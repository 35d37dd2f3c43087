"""Documents of the first version of every format stay valid, and programs that read them go on reading them.

The samples in tests/samples/schemas were written by the code, or kept from the data, that first had the format; the two that
people write by hand (config-1, and the declaration of handoff-1) use the keys that the first schema had. None is ever changed:
a format that needs it gets a new number.
"""

from __future__ import annotations

import json
import shutil
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import xmlcheck
from xmlcheck import config as configuration
from xmlcheck import schemas
from xmlcheck.comparing import account_for
from xmlcheck.finding import Grade, Report
from xmlcheck.folder import INDEX, FolderPlugin, known, make_index
from xmlcheck.handing import declared
from xmlcheck.output import html
from xmlcheck.output import json as findings_file
from xmlcheck.profile import build, read_table
from xmlcheck.registry import Registry, discover
from xmlcheck.rule import read_card
from xmlcheck.testing import Part, score
from xmlcheck.testing.cases import load

SAMPLES = Path(__file__).parents[1] / "samples" / "schemas"
EXPORTS = Path(__file__).parents[2] / "corpus" / "exports"
FILES = sorted(path for path in SAMPLES.glob("*/*") if path.is_file())
FINDINGS = sorted((SAMPLES / "findings-1").glob("*.json"))
UPPER = "tempo=90 <mf> G3.h A3 | D4.w | B4.q A4 G4.h"
LOWER = "tempo=90 <p> C3.w | D3.h E3 | G3.w"


@cache
def registry() -> Registry:
    return discover()


def data(path: Path) -> Any:
    text = path.read_text(encoding="utf-8")
    return tomllib.loads(text) if path.suffix == ".toml" else json.loads(text)


def keys(node: Any, way: str = "") -> Iterator[str]:
    """Every key of a document with the keys above it; the items of a list are as one."""
    if isinstance(node, dict):
        for key, item in node.items():
            yield f"{way}/{key}"
            yield from keys(item, f"{way}/{key}")
    elif isinstance(node, list):
        for item in node:
            yield from keys(item, way)


def test_every_schema_has_a_sample_of_its_first_version() -> None:
    assert {path.parent.name for path in FILES} == set(schemas.names())


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_sample_is_valid_today(path: Path) -> None:
    assert schemas.validate(path.parent.name, data(path)) == []


@pytest.mark.parametrize("path", FINDINGS, ids=lambda path: path.stem)
def test_a_findings_file_still_annotates_and_is_still_a_page(path: Path) -> None:
    """The waist holds: a file written by the first version needs no plugin and no later key."""
    report = findings_file.parse(path.read_bytes(), path.name)
    assert report == Report.from_dict(data(path))
    assert report.findings
    assert report.counts() == data(path)["summary"]
    again = report.to_dict()
    assert set(keys(data(path))) <= set(keys(again)), "a key was taken away"
    music = (EXPORTS / report.source.name).read_bytes()
    marked = xmlcheck.annotate(music, report)
    assert marked != music
    assert xmlcheck.unmark(marked) == music
    assert all(finding.message.partition(" ")[0] in html.make(report) for finding in report.findings[:3])


def test_a_configuration_is_still_read() -> None:
    path = SAMPLES / "config-1" / "house.toml"
    read = configuration.parse(path.read_text(encoding="utf-8"), path)
    assert read.hold_at is Grade.QUERY
    assert read.grades == {"score.no-tempo": "off", "compass.uncomfortable": Grade.TIDY}
    assert read.settings == {"compass.below": {"tolerance_cents": 30}, "compass.above": {"tolerance_cents": 30}}
    assert read.parts["Lamp Road Zither"] == "koto"
    assert read.accept[0].by == "the leader"
    assert read.ensemble["violin"]["polyphony"]["at_once"]["value"] == 2
    assert read.players["Wick"].tables["compass"]["lowest"]["value"] == "F3"
    assert (read.instruments, read.plugins) == ((path.parent / "lamp-zither.toml",), (path.parent / "house",))


def test_a_declaration_is_still_read() -> None:
    path = SAMPLES / "handoff-1" / "declaration.toml"
    read = declared.parse(path.read_bytes(), path.name)
    (cue,) = read.cues
    assert (cue.number, cue.title, cue.start, cue.length, cue.pre_roll) == ("1m1", "Lamp Road", 3610.0, 8.0, 1)
    assert (cue.hits[0].at, cue.hits[0].bar, cue.parts) == (2.5, "2", ("Violin", "Viola"))
    assert (read.players["Wick"].part, read.players["Wick"].instrument) == ("Violin", "violin")


@pytest.mark.parametrize("path", sorted((SAMPLES / "profile-1").glob("*.toml")), ids=lambda path: path.stem)
def test_a_profile_still_becomes_an_instrument(path: Path) -> None:
    table = read_table(path.read_text(encoding="utf-8"), path.name)
    built = build(table, registry().facets, "sample", path.name)
    assert (built.id, built.unowned) == (path.stem, ())
    assert {"compass", "reading", "techniques", "polyphony"} <= set(built.facets)


def test_a_card_and_its_cases_are_still_read() -> None:
    card = read_card((SAMPLES / "rule-1" / "compass-below.toml").read_text(encoding="utf-8"), "sample", "sample")
    assert (card.id, card.grade) == ("compass.below", Grade.HALT)
    cases = load(SAMPLES / "cases-1" / "compass-below.toml")
    assert {case.rule for case in cases} == {card.id}
    assert {case.expect is None for case in cases} == {True, False}
    for case in cases:
        assert case.data().startswith(b"<?xml")


def test_names_without_a_profile_are_still_known() -> None:
    table = data(SAMPLES / "known-1" / "known.toml")
    read = known(table, "sample")
    assert [entry.id for entry in read.entries] == [item["id"] for item in table.get("known", ())]
    assert read.kinds == table.get("kinds", {})
    assert len(read.shared) == len(table.get("shared", ()))


def test_an_index_is_still_taken_as_it_stands(tmp_path: Path) -> None:
    """index-1 has no published schema: only this tool reads it. One that the first version made answers the hooks."""
    folder = tmp_path / "lamp_house"
    shutil.copytree(SAMPLES / "index-1" / "lamp_house", folder)
    stored = json.loads((folder / INDEX).read_text(encoding="utf-8"))
    assert stored.items() <= make_index(folder, folder.name).items()
    marked = {**stored, "plugin": {**stored["plugin"], "version": "2.old"}}
    (folder / INDEX).write_text(json.dumps(marked), encoding="utf-8")
    plugin = FolderPlugin(folder, folder.name, None)
    assert plugin.version == "2.old", "made anew, not read"
    (offer,) = plugin.xmlcheck_profiles()
    assert (offer.entry.id, offer.entry.abbreviations, offer.abstract) == ("causeway-box", ("C.B.",), False)
    assert list(plugin.xmlcheck_rules()) == []


def old_and_new() -> tuple[bytes, bytes]:
    """The two revisions that the samples of comparison-1 are about."""
    old = score([Part(UPPER, "Violin"), Part(LOWER, "Viola")], title="1m1 Lamp Road")
    new = score([Part(UPPER.replace("D4.w", "D4.h F#3"), "Violin"), Part(f"{LOWER} | R", "Viola")], title="1m1 Lamp Road")
    return old, new


@pytest.mark.parametrize("asked", ["revision", "account", "round-trip"])
def test_a_comparison_has_all_the_keys_that_it_had(asked: str) -> None:
    old, new = old_and_new()
    if asked == "account":
        answer = account_for(old, new)
    else:
        reports = (xmlcheck.check(old), xmlcheck.check(new))
        answer = xmlcheck.compare(old, new, reports=reports, round_trip=asked == "round-trip")
    assert set(keys(data(SAMPLES / "comparison-1" / f"{asked}.json"))) <= set(keys(answer.to_dict()))


def test_a_handoff_answer_has_all_the_keys_that_it_had(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    name = "1m1 Lamp Road"
    old, _ = old_and_new()
    (tmp_path / f"{name} - Score.musicxml").write_bytes(old)
    (tmp_path / "parts" / f"{name} - Violin.musicxml").write_bytes(score(Part(UPPER, "Violin"), title=name))
    (tmp_path / "parts" / f"{name} - Viola.musicxml").write_bytes(score(Part(LOWER.replace("E3", "F3"), "Viola"), title=name))
    answer = xmlcheck.handoff(tmp_path).to_dict()
    assert set(keys(data(SAMPLES / "handoff-1" / "answer.json"))) <= set(keys(answer))
