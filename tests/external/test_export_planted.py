"""Hand-made exports with planted faults, in the habits of several exporters, and their clean twins.

What is planted where stands in corpus/exports/faults.toml, written from the catalogue of faults that real exports and transfers
show (public issue threads, the W3C MusicXML 4.0 report) and not from what a rule finds. The files are our own music.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.corpus_files import musicxml_schema
from xmlcheck import schemas
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.finding import Finding
from xmlcheck.registry import Registry, discover
from xmlcheck.source import read_source

CORPUS = Path(__file__).parents[2] / "corpus"
EXPORTS = CORPUS / "exports"
PLUGINS = ("xmlcheck_export", "xmlcheck_basics")
FAULTS: list[dict[str, Any]] = tomllib.loads((EXPORTS / "faults.toml").read_text(encoding="utf-8"))["fault"]
TWINS = sorted({fault["twin"] for fault in FAULTS})
Key = tuple[str, str | None, str | None]


@cache
def registry() -> Registry:
    every = discover()
    return replace(every, rules=tuple(rule for rule in every.rules if rule.card.plugin in PLUGINS))


def said(file: str, settings: Mapping[str, Mapping[str, Any]] | None = None) -> tuple[Finding, ...]:
    report = check_source(read_source(EXPORTS / file), registry(), Config(settings=settings or {}))
    assert [notice for notice in report.notices if " failed on " in notice or "could not be told" in notice] == []
    return report.findings


def key(finding: Finding) -> Key:
    return finding.rule, finding.part, finding.place.bar


def test_there_are_enough_of_them() -> None:
    assert len({fault["file"] for fault in FAULTS}) >= 60
    assert len({fault["rule"] for fault in FAULTS if fault["rule"].split(".")[0] not in ("score", "recognition")}) >= 45


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault["file"])
def test_fault_is_found_at_its_bar_and_nothing_else(fault: dict[str, Any]) -> None:
    findings = said(fault["file"], fault.get("settings"))
    hits = [item for item in findings if item.rule == fault["rule"] and item.part == fault["part"]]
    assert hits, [key(item) for item in findings]
    if fault["bar"]:
        assert any(item.place.bar == fault["bar"] for item in hits), [key(item) for item in hits]
    also: set[Key] = {(one["rule"], one["part"], one["bar"]) for one in fault.get("also", ())}
    assert also <= {key(item) for item in findings}
    expected = [item for item in hits if not fault["bar"] or item.place.bar == fault["bar"]]
    assert [key(item) for item in findings if item not in expected and key(item) not in also] == []


@pytest.mark.parametrize("twin", TWINS)
def test_clean_twin_is_silent(twin: str) -> None:
    assert [key(item) for item in said(twin)] == []


def test_every_file_is_the_one_that_the_manifest_lists() -> None:
    manifest = tomllib.loads((CORPUS / "manifest.toml").read_text(encoding="utf-8"))
    assert schemas.validate("corpus-1", manifest) == []
    listed = {item["path"]: item for item in manifest["file"]}
    for name in {*TWINS, *(fault["file"] for fault in FAULTS)}:
        item = listed[f"exports/{name}"]
        assert hashlib.sha256((EXPORTS / name).read_bytes()).hexdigest() == item["sha256"], name


@pytest.mark.parametrize("name", sorted({*TWINS, *(fault["file"] for fault in FAULTS)}))
def test_file_is_valid_musicxml(name: str) -> None:
    """The faults are of the music or of how it is written down; the format itself is kept (W3C MusicXML 4.0 schema)."""
    schema = musicxml_schema()
    assert schema.validate(parse(read_source(EXPORTS / name)).root), schema.error_log
