"""The demo cue: every planted fault is found at its bar by a rule that names its kind; the mended cue stops nobody.

The faults were written from the sources named in corpus/demo/the-crossing.faults.toml before any rule ran on them.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import xmlcheck
from xmlcheck.finding import Finding, Report

DEMO = Path(__file__).parents[2] / "corpus" / "demo"
TABLE = tomllib.loads((DEMO / "the-crossing.faults.toml").read_text(encoding="utf-8"))
RULES = {
    "whole part an octave too low": {"compass.octave-off"},
    "transposition lost": {"transposition.missing"},
    "name nobody can recognise": {"recognition.unknown", "part.unnamed"},
    "ambiguous name": {"recognition.ambiguous"},
    "chord on a one-note instrument": {"polyphony.too-many"},
    "foreign mark": {"technique.foreign"},
    "above the compass": {"compass.above", "compass.uncomfortable"},
    "below the compass": {"compass.below", "tuning.undeclared"},
    "passage outside the comfortable compass": {"compass.uncomfortable"},
    "no arco after pizz.": {"technique.contradicted", "bowed.arco-lost"},
}
"""Kind of fault to the rules that may name it. One of them counts where the sources let the note be possible: the horn's D6."""


@cache
def report(name: str) -> Report:
    return xmlcheck.check(DEMO / name)


def covers(finding: Finding, bar: int) -> bool:
    first = finding.place.measure_index or 0
    last = finding.place.to_measure_index or first
    return first <= bar - 1 <= last


@pytest.mark.parametrize("fault", TABLE["fault"], ids=lambda fault: fault["id"])
def test_each_planted_fault_is_found_in_its_bar(fault: dict[str, Any]) -> None:
    found = [item for item in report("the-crossing.musicxml").findings if item.part == fault["part"]]
    named = [item for item in found if {item.rule, *item.also} & RULES[fault["kind"]]]
    if "bar" in fault:
        # A technique that is contradicted is told where the first mark contradicts it: up to four bars after the word is missed.
        slack = 4 if fault["kind"].startswith("no arco") else 0
        named = [item for item in named if any(covers(item, int(fault["bar"]) + bars) for bars in range(slack + 1))]
    assert named, [(item.rule, item.place.bar) for item in found]


def test_the_mended_cue_has_no_halt_and_hardly_a_query() -> None:
    found = report("the-crossing.clean.musicxml").findings
    assert [(item.rule, item.part, item.place.bar, item.message) for item in found if item.grade.value == "halt"] == []
    assert [(item.rule, item.part, item.place.bar, item.message) for item in found if item.grade.value == "query"] == []


def test_places_that_look_like_faults_are_left_alone() -> None:
    found = report("the-crossing.clean.musicxml").findings
    for place in TABLE["leave"]:
        near = [item for item in found if item.part == place["part"] and covers(item, int(place["bar"])) and item.count == 1]
        assert [(item.rule, item.message) for item in near if item.grade.value != "tidy"] == [], place["what"]
