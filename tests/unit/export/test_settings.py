"""Settings reach the rules that share them, and what the reader tells of the file's form becomes a finding.

Checked against: MIDI note 60 as middle C (MIDI 1.0).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from xmlcheck.checking import check_score, check_source
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.finding import Finding, Report, SourceInfo
from xmlcheck.model import Notice
from xmlcheck.reader import read
from xmlcheck.registry import discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import Part, score

REGISTRY = discover()


def report(parts: list[Part], settings: Mapping[str, Mapping[str, Any]]) -> Report:
    return check_source(from_bytes(score(parts), "test"), REGISTRY, Config(settings=settings))


def of(found: Report, rule: str) -> list[Finding]:
    return [finding for finding in found.findings if finding.rule == rule]


def test_settings_hold_for_all_rules_that_share_a_value() -> None:
    """Whichever rule asks first, and where the rule under which they stand is off."""
    cello = Part('clef=bass C1.q G3 A3 B3 | C#1.q G3 A3 B3 | "arco" C1.q G3 A3 B3 | G3.w', name="Cello")
    listed = {"triggers": "C0=arco, C#0=pizz", "middle_c": "C3"}
    for rule, off in (("trigger.word", ""), ("trigger.notes", "trigger.notes"), ("trigger.notes", "trigger.held")):
        config = Config(settings={rule: listed}, grades={off: "off"})
        found = check_source(from_bytes(score([cello]), "test"), REGISTRY, config)
        assert [finding.values["technique"] for finding in of(found, "trigger.word")] == ["pizz"], (rule, off)


def test_trigger_list_serves_both_rules() -> None:
    cello = Part('clef=bass C1.q G3 A3 B3 | C#1.q G3 A3 B3 | "arco" C1.q G3 A3 B3 | G3.w', name="Cello")
    found = report([cello], {"trigger.notes": {"triggers": "C0=arco, C#0=pizz", "middle_c": "C3"}})
    assert [finding.count for finding in of(found, "trigger.notes")] == [3]
    assert [finding.values["technique"] for finding in of(found, "trigger.word")] == ["pizz"]
    assert of(found, "compass.below") == []
    assert [plan.kind for plan in found.plans] == ["triggers"]


def test_trigger_names_without_an_octave_are_blamed() -> None:
    found = report([Part("clef=bass C3.w", name="Cello")], {"trigger.notes": {"triggers": "C0=arco"}})
    assert any("what yours calls middle C" in notice for notice in found.notices)


def test_confirmed_tracks_are_not_offered() -> None:
    parts = [Part("clef=bass C3.w~ | C3.q r r.h", name="Cello Long"), Part("clef=bass R | C3.q D3 E3 F3", name="Cello Pizz")]
    settings = {"tracks.as-one": {"one_player": "Cello = Cello Long, Cello Pizz"}}
    assert of(report(parts, settings), "tracks.as-one") == []
    assert len(of(report(parts, settings), "tracks.overlap")) == 1


def test_plan_says_what_each_bar_becomes() -> None:
    note = "<note><pitch><step>{}</step><octave>5</octave></pitch><duration>{}</duration><voice>1</voice></note>"
    played = "".join(note.format(step, length) for step, length in zip("CDEF", (487, 468, 494, 471), strict=True))
    found = report([Part(f"`<attributes><divisions>480</divisions></attributes>{played}`", name="Violin")], {})
    (plan,) = found.plans
    assert [line.text for line in plan.lines] == ["becomes C5 1, D5 1, E5 1, F5 1"]


def test_faults_of_form_stand_at_their_bar() -> None:
    music = read(parse(from_bytes(score([Part("C5.w | D5.w", name="Violin")]), "test")))
    told = Notice("schema-order", "line 12: in <note>, <type> stands behind <stem>; the standard has it before", "P1", "2")
    info = SourceInfo("test", "", "", 0, "utf-8", None, "4.0")
    found = check_score(replace(music, notices=(*music.notices, told)), info, REGISTRY, Config())
    (finding,) = of(found, "file.faults")
    assert (finding.part, finding.place.bar, finding.grade.value) == ("P1", "2", "tidy")
    assert finding.message.startswith("Line 12")
