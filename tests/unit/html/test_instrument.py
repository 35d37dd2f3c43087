"""Instrument pages: every value of the profile with its certainty and sources, pictures of compass, tunings and sizes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tests.unit.html.test_page import XHTML, classed, parsed, words_of
from xmlcheck.cli import main
from xmlcheck.output.html import instrument
from xmlcheck.output.html.words import signs
from xmlcheck.registry import Registry, discover


@pytest.fixture(scope="module")
def registry() -> Registry:
    return discover()


@pytest.mark.parametrize("id", ["koto", "shakuhachi", "oud", "violin", "lever-harp"])
def test_a_page_tells_all_values_and_their_sources(registry: Registry, id: str) -> None:
    profile = registry.profile(id)
    root = parsed(instrument.make(profile, registry.names.entries[id], registry))
    text = words_of(root)
    low, high = (profile.tables["compass"][end]["value"] for end in ("lowest", "highest"))
    assert f"The instrument has {signs(low)} to {signs(high)}" in text
    for caution in profile.cautions:
        assert signs(caution.text).rstrip(".") in text
    for item in profile.tables["techniques"]["has"]:
        assert item.get("title") or item["id"] in text
    listed = {item.get("id") for item in root.iter(f"{XHTML}dt")}
    assert listed == {f"s-{key}" for key in profile.sources}
    for link in classed(root, "cite"):
        assert link.get("href")[1:] in listed, "a cited key that the profile's sources do not hold"
    assert classed(root, "reach")


def test_tunings_are_drawn_string_by_string(registry: Registry) -> None:
    profile = registry.profile("koto")
    root = parsed(instrument.make(profile, registry.names.entries["koto"], registry))
    names = profile.tables["string_set"]["names"]["value"]
    drawn = [figure for figure in classed(root, "drawn") if "tuning" not in words_of(figure)]
    first = profile.tables["string_set"]["tunings"][0]
    picture = next(figure for figure in drawn if first["title"] in words_of(figure))
    told = words_of(picture)
    for name, pitch in zip(names, first["pitches"], strict=True):
        assert name in told
        assert signs(pitch) in told
    assert len(classed(picture, "head")) == 13


def test_about_writes_the_page_and_overwrites_nothing_else(tmp_path: Path) -> None:
    target = tmp_path / "koto.html"
    assert run("about", "koto", "--html", str(target)).exit_code == 0
    assert target.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert run("about", "koto", "--html", str(target)).exit_code == 0, "its own untouched page is replaced"
    target.write_text("mine", encoding="utf-8")
    refused = run("about", "koto", "--html", str(target))
    assert refused.exit_code == 2
    assert target.read_text(encoding="utf-8") == "mine"
    assert run("about", "compass.below", "--html", str(tmp_path / "x.html")).exit_code == 2


def run(*arguments: str) -> Any:
    return CliRunner().invoke(main, list(arguments))
