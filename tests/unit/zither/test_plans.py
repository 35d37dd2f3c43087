"""Plans on their way into the report: without a finding too; lines that a player can follow; cautions where a string goes up."""

from __future__ import annotations

import re

import pytest

from tests.unit.zither.reading import installed, report, score
from xmlcheck import schemas
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.finding import Grade, Plan, Report
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck_zither.plans import tension

LONG_REST = 'tempo=60 <mf> "1=D" D4.q F#4 A4 B4 | D5.w | R | R | R | R | R | "F# -> G" G4.q A4 B4 D5 | G5.w'


def only(found: Report) -> Plan:
    (plan,) = found.plans
    return plan


def test_a_plan_needs_no_finding() -> None:
    found = report('tempo=60 <mf> "hirajoshi" D4.q G4 A4 D5 | G4.w', "Koto")
    assert [finding for finding in found.findings if finding.rule.startswith("tuning.")] == []
    assert only(found).kind == "tuning"
    assert only(found).lines[0].text.startswith("Tuning: hirajōshi on D.")


def test_a_plan_goes_with_its_finding() -> None:
    found = report("tempo=60 <mf> D4.q G4 Ab4 C5 | G4.w", "Koto")
    (finding,) = [finding for finding in found.findings if finding.rule == "tuning.unwritten"]
    assert finding.plan == only(found).id


def test_the_report_with_plans_obeys_its_schema_and_comes_back() -> None:
    found = report(LONG_REST, "Guzheng")
    assert schemas.validate("findings-1", found.to_dict()) == []
    assert Report.from_dict(found.to_dict()).plans[0].lines[1].text == only(found).lines[1].text


def test_the_opening_names_every_string_and_where_the_count_begins() -> None:
    text = only(report(LONG_REST, "Guzheng")).lines[0].text
    assert text.startswith("Tuning: D major pentatonic. 1 D6, 2 B5, 3 A5, 4 F#5, 5 E5, 6 D5,")
    assert text.endswith("21 D2 (string 1 is the highest, nearest the player)")


def test_a_retuning_stands_at_its_rest() -> None:
    plan = only(report(LONG_REST, "Guzheng"))
    assert plan.kind == "retuning"
    assert plan.lines[1].text == "bar 3, rest of 20 s: strings 4, 9, 14, 19: F# -> G"
    values = plan.lines[1].values
    assert (values["count"], values["seconds"], values["rest_seconds"]) == (4, 16.0, 20.0)
    assert (values["until_bar"], values["until_beat"]) == ("8", "1")


def test_lines_are_anchored_at_notes() -> None:
    """The opening at the first note, a retuning at the last note before its rest: a label never stands in a bar of rest."""
    part = read(parse(from_bytes(score(LONG_REST, "Guzheng"), "test.musicxml"))).parts[0]
    names = {note.anchor: note.sounding.name for note in part.notes if note.sounding is not None}
    places = [line.place.anchor for line in only(report(LONG_REST, "Guzheng")).lines]
    assert [names[anchor] for anchor in places if anchor is not None] == ["D4", "D5"]


def test_a_line_stands_before_the_grace_notes_of_its_chord() -> None:
    notes = "tempo=60 <mf> 'C5 [D4 G4].h A4 | D4.w"
    part = read(parse(from_bytes(score(notes, "Koto"), "test.musicxml"))).parts[0]
    grace = next(note for note in part.notes if note.grace)
    assert only(report(notes, "Koto")).lines[0].place.anchor == grace.anchor


def test_strings_that_go_up_bring_a_caution() -> None:
    found = report("tempo=60 <mf> G4.q A4 B4 D5 | E5 G5 E5 D5 | G3.h G4", "Guzheng")
    (finding,) = [finding for finding in found.findings if finding.rule == "tuning.unwritten"]
    assert finding.caution is not None
    assert "4, 9, 14, 19" in finding.caution
    assert "bridge does not load" in finding.caution
    assert re.search(r"player.*maker", finding.caution)


def test_pegs_that_go_up_tell_the_tension() -> None:
    """Mersenne's law: the tension grows with the square of the frequency, 2^(1/6) = 1.12 for a semitone."""
    found = report("tempo=60 <mf> F3.q A3 B3 C4 | F4 E4 D4 B3 | F3.w", "Kora")
    (finding,) = [finding for finding in found.findings if finding.rule == "tuning.unwritten"]
    assert finding.caution is not None
    assert "1.12 times" in finding.caution


def test_strings_that_go_down_bring_none() -> None:
    found = report("tempo=60 <mf> A4.q B4 C#5 E5 | F#5 E5 C#5 B4 | A3.h A4", "Guzheng")
    (finding,) = [finding for finding in found.findings if finding.rule == "tuning.unwritten"]
    assert not finding.caution


@pytest.mark.parametrize(
    ("semitones", "times"), [(0, 1), (1, 1.1225), (2, 1.2599), (3, 1.4142), (5, 1.7818), (7, 2.2449), (12, 4)]
)
def test_tension(semitones: int, times: float) -> None:
    """Mersenne's law at equal length: an octave up is four times the tension (Jeans, Science and music, 1937)."""
    assert tension(semitones) == pytest.approx(times, abs=5e-5)


def test_a_rule_switched_off_takes_its_plan_along() -> None:
    found = report('tempo=60 <mf> "hirajoshi" D4.q G4 A4 D5 | G4.w', "Koto", grades={"tuning.unwritten": "off"})
    assert found.plans == ()


def test_every_part_has_its_own_plan() -> None:
    from xmlcheck.checking import check_source
    from xmlcheck.testing import mini

    parts = [mini.Part('"hirajoshi" D4.q G4 A4 D5', "Koto 1"), mini.Part("D4.q G4 Ab4 C5", "Koto 2")]
    found = check_source(from_bytes(mini.score(parts), "two.musicxml"), installed(), Config())
    assert [plan.id for plan in found.plans] == ["tuning-P1", "tuning-P2"]


def test_pedals_by_foot() -> None:
    found = report("tempo=60 <mf> key=-3 Eb4.q F4 G4 Ab4 | Bb4 C5 D5 Eb5", "Harp")
    (line,) = only(found).lines
    assert line.text == "Pedals: D C Bb | Eb F G Ab"
    assert line.values["counted"] == "left foot D C B, right foot E F G A"


def test_levers_at_the_start_and_on_the_way() -> None:
    notes = 'tempo=60 <mf> key=-2 "tuned in E flat" Bb4.q A4 Bb4 C5 | D5.w | R | Ab4.h Bb4 | G4.w'
    plan = only(report(notes, "Lever Harp"))
    assert plan.lines[0].text == "Tuning with all levers down: E flat major. Levers up: Ab4"
    assert [line.text for line in plan.lines[1:]] == ["bar 4: lever Ab4 down"]


def test_a_part_in_another_octave_has_no_plan() -> None:
    """Two octaves too low: one finding on the octave says it all."""
    found = report("tempo=60 <mf> clef=bass D2.q G2 A2 D2 | C2.w", "Koto")
    assert found.plans == ()
    assert {finding.rule for finding in found.findings if finding.grade is Grade.HALT} <= {
        "compass.octave-off",
        "compass.below",
    }


def test_a_derived_value_that_fails_is_blamed_and_the_run_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import replace

    from xmlcheck_zither.uses import Played

    def broken(**_: object) -> Played:
        raise RuntimeError("broken on purpose")

    registry = installed()
    spoilt = {**registry.derived, Played: replace(registry.derived[Played], compute=broken)}
    from xmlcheck.checking import check_source

    found = check_source(from_bytes(score("D4.w", "Koto"), "x.musicxml"), replace(registry, derived=spoilt), Config())
    assert any("tuning.unwritten" in notice and "broken on purpose" in notice for notice in found.notices)
    assert any(finding.rule == "score.no-tempo" for finding in found.findings)
