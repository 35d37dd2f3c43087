"""Findings gone, new and still there; plans; new pages. Reports are made by hand, so that no rule has a say."""

from __future__ import annotations

from dataclasses import replace

import pytest

import xmlcheck
from tests.conftest import MakeFinding, MakeReport
from xmlcheck.comparing import Comparison, compare_revisions, revision
from xmlcheck.finding import Finding, Place, Plan, PlanLine
from xmlcheck.testing.mini import Part, score

BARS = [
    "C4.q D4 E4 F4", "G4.h A4", "B4.w", "C5.q B4 A4 G4", "D4.q E4 F4 D4", "F5.w", *(f"{n}4.q {n}5 {n}4 {n}5" for n in "CDEFGAB"),
    "C4.w",
]  # fmt: skip


def piece(*bars: str, tempo: int = 90, name: str = "Lamp zither") -> bytes:
    return score(Part(f"tempo={tempo} " + " | ".join(bars), name=name))


def at(finding: Finding, bar: int, **given: object) -> Finding:
    place = Place(measure=str(bar), measure_index=bar - 1, bar=str(bar), beat="1")
    return replace(finding, place=place, part="P1", **given)  # type: ignore[arg-type]


def plan(kind: str, *lines: str) -> Plan:
    return Plan(f"{kind}-P1", kind, "P1", tuple(PlanLine(Place(), line, {}) for line in lines))


def test_findings_by_fingerprint(make_finding: MakeFinding, make_report: MakeReport) -> None:
    old, new = piece(*BARS), piece(*BARS[:2], "E5.w", *BARS[2:])
    before = [at(make_finding(1, None), 1), at(make_finding(2, None), 4)]
    after = [at(make_finding(2, None), 5), at(make_finding(7, None), 3)]
    found = xmlcheck.compare(old, new, reports=(make_report(old, before), make_report(new, after))).findings
    assert found is not None
    assert [item.id for item in found.gone] == ["f1"]
    assert [item.id for item in found.new] == ["f7"]
    assert [(item.id, item.old_number, item.number, item.changed) for item in found.still] == [("f2", 2, 2, False)]


def test_a_renamed_part_keeps_its_findings(make_finding: MakeFinding, make_report: MakeReport) -> None:
    """The fingerprint holds the part's name, so it changes with it; rule and place then tell that it is the same finding."""
    old, new = piece(*BARS), piece(*BARS[:2], "E5.w", *BARS[2:], name="Lantern zither")
    before = [at(make_finding(1, None), 4, id="abc")]
    after = [at(make_finding(1, None), 5, id="xyz")]
    found = xmlcheck.compare(old, new, reports=(make_report(old, before), make_report(new, after))).findings
    assert found is not None
    assert (found.gone, found.new) == ((), ())
    assert [item.id for item in found.still] == ["xyz"]


@pytest.mark.parametrize(("before", "after", "fate"), [
    ([plan("tuning", "1 D4", "2 E4")], [plan("tuning", "1 D4", "2 E4")], "holds"),
    ([plan("tuning", "1 D4", "2 E4")], [plan("tuning", "1 D4", "2 Eb4")], "changed"),
    ([plan("tuning", "1 D4")], [], "gone"),
    ([], [plan("breath", "bar 4")], "new"),
])  # fmt: skip
def test_plans(before: list[Plan], after: list[Plan], fate: str, make_report: MakeReport) -> None:
    old, new = piece(*BARS), piece(*BARS[:1], "A4.w", *BARS[2:])
    found = xmlcheck.compare(
        old, new, reports=(make_report(old, plans=tuple(before)), make_report(new, plans=tuple(after)))
    ).findings
    assert found is not None
    assert [one.fate for one in found.plans] == [fate]


def test_the_same_notes_at_a_new_tempo(make_report: MakeReport) -> None:
    old, new = piece(*BARS), piece(*BARS, tempo=132)
    comparison = xmlcheck.compare(old, new, reports=(make_report(old), make_report(new)))
    assert [change.kind for change in comparison.changes] == ["tempo"]
    assert comparison.findings is not None
    assert comparison.findings.same_notes
    assert comparison.findings.rechecked == ("speed", "breath", "retuning")


def compared(old: bytes, new: bytes) -> Comparison:
    return compare_revisions(revision(old), revision(new))


def test_insert_pages_and_whole_parts() -> None:
    one = compared(piece(*BARS), piece(*BARS[:3], "C5.q B4 A4 F4", *BARS[4:])).reissue[0]
    assert one.advice == "insert pages"
    assert [(place.bar, place.to_bar) for place in one.places] == [("4", "4")]
    assert one.tell == "bar 4: 1 change"
    up = compared(piece(*BARS), score(Part("tempo=90 " + " | ".join(BARS).replace("4", "5"), name="Lamp zither"))).reissue[0]
    assert up.advice == "whole part"


def test_inserted_bars_move_the_numbers_unless_they_have_letters() -> None:
    """Bars numbered 3A leave 4 to the end as they are, so that pages can be put in; renumbered ones do not."""
    new = piece(*BARS[:3], "E5.w", *BARS[3:])
    renumbered = compared(piece(*BARS), new).reissue[0]
    assert not renumbered.numbers_hold
    assert renumbered.advice == "whole part"
    assert "later bars have other numbers" in renumbered.tell
    text = new.decode()
    text = text.replace('<measure number="4"', '<measure number="3A"')
    for number in range(5, len(BARS) + 2):
        text = text.replace(f'<measure number="{number}"', f'<measure number="{number - 1}"')
    lettered = compared(piece(*BARS), text.encode()).reissue[0]
    assert lettered.numbers_hold
    assert lettered.advice == "insert pages"
    assert lettered.tell == "bar 3A new"


def test_what_the_player_is_told(make_report: MakeReport) -> None:
    """In the words of the trade: what is new, what is cut, whether the tuning stays."""
    old, new = piece(*BARS), piece(*BARS[:1], "E5.w", "D5.w", *BARS[1:5], *BARS[6:])
    tuned = (plan("tuning", "1 D4"),)
    reports = make_report(old, plans=tuned), make_report(new, plans=tuned)
    told = xmlcheck.compare(old, new, reports=reports).reissue[0].tell
    assert told.startswith("bars 2-3 new, bar 6 cut")
    assert told.endswith("tuning unchanged")


def test_a_part_without_changes_needs_nothing() -> None:
    other = Part("C3.w | " * 13 + "C3", name="Drone")
    old = score([Part(" | ".join(BARS), name="Lamp zither"), other])
    new = score([Part(" | ".join([*BARS[:2], "A4.w", *BARS[3:]]), name="Lamp zither"), other])
    assert [one.advice for one in compared(old, new).reissue] == ["insert pages", "none"]
