"""Staves drawn by ourselves: heights, ledger lines, what a compass, a tuning, pedals and breaths show.

Where notes stand is common knowledge of notation: treble clef on G4's line, the second; bass clef on F3's, the fourth; middle C
on the first ledger line between the staves. Order of pedals: MusicXML 4.0, harp-pedals: "standard harp pedal order, with
pedal-step values of D, C, B, E, F, G, and A"; flat above the line and sharp below it: from memory, common in harp parts.
"""

from __future__ import annotations

from typing import Any

import pytest
from lxml import etree

from xmlcheck.finding import Place, Plan, PlanLine
from xmlcheck.output.html import compass, plans
from xmlcheck.output.html.staff import HALF, Staff, height
from xmlcheck.pitch import parse

FACETS = {
    "compass": {
        "lowest": {"value": "Eb3", "certainty": "documented"},
        "highest": {"value": "A6", "certainty": "memory"},
        "comfortable_lowest": {"value": "D4"},
        "comfortable_highest": {"value": "E6"},
    },
    "registers": {
        "bands": [{"title": "low", "lowest": "Eb3", "highest": "C5", "softest": "pp", "loudest": "mf", "slow": True}]
    },
    "strings": {"courses": [{"pitch": "G3"}, {"pitch": "D4"}, {"pitch": 7}, "odd"]},
}


def drawn(svg: str | None) -> etree._Element:
    assert svg is not None
    return etree.fromstring(svg)


def told(element: etree._Element) -> str:
    return "".join(str(text) for text in element.itertext())


def of(root: etree._Element, kind: str) -> list[etree._Element]:
    return [item for item in root.iter() if kind in (item.get("class") or "").split()]


@pytest.mark.parametrize(
    ("pitch", "line"),
    [("E4", 0), ("G4", 1), ("B4", 2), ("D5", 3), ("F5", 4)],
)
def test_lines_of_the_treble_staff(pitch: str, line: int) -> None:
    staff = Staff(height(parse("E4")), height(parse("F5")), 100, {})
    assert staff.lines[line] == height(parse(pitch))


def test_heights_ledger_lines_and_the_middle_between_the_staves() -> None:
    staff = Staff(height(parse("C2")), height(parse("C6")), 200, {})
    assert staff.lines == tuple(height(parse(name)) for name in ("G2", "B2", "D3", "F3", "A3", "E4", "G4", "B4", "D5", "F5"))
    assert staff.y(height(parse("C4"))) - staff.y(height(parse("D4"))) == HALF
    for name, ledgers in (("C4", 1), ("B3", 0), ("D4", 0), ("G5", 0), ("A5", 1), ("C6", 2), ("C2", 2), ("F2", 0), ("B4", 0)):
        before = len(staff.root.findall("path"))
        staff.note(50, parse(name))
        paths = staff.root.findall("path")[before:]
        assert sum(path.get("d", "").count("h18") for path in paths) == ledgers, name


def test_one_staff_is_enough_where_the_pitches_fit_it() -> None:
    assert len(Staff(height(parse("E4")), height(parse("E6")), 100, {}).lines) == 5
    assert len(Staff(height(parse("E2")), height(parse("A3")), 100, {}).lines) == 5


def test_a_compass_shows_both_reaches_and_says_so() -> None:
    known = compass.compass(FACETS)
    root = drawn(compass.picture(known, ("D3", "C5"), {}))
    words = told(root)
    for text in ("E♭3", "A6", "D3, below", "C5", "G3", "D4", "low"):
        assert text in words
    assert len(of(root, "reach")) == 1
    assert len(of(root, "gladly")) == 1
    assert len(of(root, "band")) == 1
    assert of(root, "outside"), "D3 lies below what the instrument has"
    said = compass.told(known, ("D3", "C5"))
    assert said == (
        "The instrument has E♭3 to A6, comfortable from D4 to E6 (documented / memory). This part uses D3 to C5, sounding."
    )
    assert root.findtext("title") == said
    assert compass.band_text(known.bands[0]) == "low: E♭3 to C5, pp to mf, speaks slowly"


def test_a_part_inside_the_compass_has_nothing_outside() -> None:
    root = drawn(compass.picture(compass.compass(FACETS), ("E4", "C5"), {}))
    assert not of(root, "outside")


@pytest.mark.parametrize(
    "odd", [None, {}, [], "x", {"compass": 3}, {"compass": {"lowest": {"value": "H9"}}}, {"registers": {"bands": 5}}]
)
def test_odd_snapshots_are_passed_over(odd: Any) -> None:
    known = compass.compass(odd)
    assert compass.picture(known, None, {}) is None
    assert compass.told(known, None) == ""
    assert compass.picture(known, ("C4", "C5"), {}) is not None


def line(bar: int, text: str = "x", seconds: float | None = None, **values: Any) -> PlanLine:
    return PlanLine(Place(measure_index=bar - 1, bar=str(bar), beat="1", seconds=seconds), text, values)


def test_a_retuning_plan_shows_each_state_of_the_strings() -> None:
    strings = [{"string": name, "pitch": pitch} for name, pitch in (("1", "D4"), ("2", "G3"), ("巾", "A5"))]
    opening = line(1, strings=strings, changes=[{"strings": ["2"], "from": "F", "to": "G", "semitones": 2}])
    changed = line(8, changes=[{"strings": ["1", "巾"], "from": "D", "to": "Eb", "semitones": 1.0}], caution="Ask the player")
    (view,) = plans.views([Plan("t", "retuning", "P6", (opening, changed), ("string_set (memory)",))], {}, {})
    assert (view.title, view.sign) == ("Tuning and retuning", "T")
    assert [item.caution for item in view.lines] == ["", "Ask the player"]
    (first, first_words), (second, second_words) = view.pictures
    assert first_words.startswith("Opening")
    assert second_words.startswith("After bar 8")
    assert "D4" in told(drawn(first))
    texts = told(drawn(second))
    assert "E♭4" in texts, "D4 a semitone up, spelled as the plan spells it"
    assert "A♯5" in texts or "B♭5" in texts
    assert len(of(drawn(first), "moved")) == 1
    assert len(of(drawn(second), "moved")) == 2


def test_sizes_show_the_chosen_one_full() -> None:
    sizes = {"carried": [{"id": "1-8", "title": "1.8", "lowest": "D4"}, {"id": "2-4", "title": "2.4", "lowest": "A3"}]}
    (view,) = plans.views([Plan("s", "size", "P1", (line(1, size="2-4", lowest="A3"),))], {"sizes": sizes}, {})
    ((svg, _),) = view.pictures
    root = drawn(svg)
    assert len(of(root, "moved")) == 1
    assert "2-4" in told(root)


def test_pedals_stand_in_diagram_order_flat_above_sharp_below() -> None:
    (view,) = plans.views(
        [Plan("p", "tuning", "P7", (line(1, pedals={"D": 0, "C": 1, "B": -1, "E": -1, "F": 1, "G": 0}),))], {}, {}
    )
    ((svg, _),) = view.pictures
    root = drawn(svg)
    assert "".join(text.text or "" for text in root.findall("text")) == "DCBEFGA"
    starts = {
        letter: float(path.get("d", "").split("V")[0].split(" ")[1])
        for letter, path in zip("DCBEFGA", [item for item in root if item.get("class") in ("used", "reach")], strict=True)
    }
    assert starts["B"] == starts["E"] < starts["D"] == starts["G"] < starts["C"] == starts["F"]
    assert [item.get("class") for item in root if item.get("class") in ("used", "reach")][-1] == "reach", "A is not needed"


def test_breaths_stand_on_a_line_of_seconds() -> None:
    lines = tuple(line(bar, f"breath {bar}", seconds) for bar, seconds in ((2, 4.0), (4, 12.0), (9, 44.0)))
    (view,) = plans.views([Plan("b", "breath", "P1", lines[:1]), Plan("c", "breath", "P1", lines[1:])], {}, {})
    ((svg, _),) = view.pictures
    marks = [float(item.get("d", "M").split(" ")[0][1:]) for item in of(drawn(svg), "used")]
    assert len(marks) == 3
    assert (marks[1] - marks[0]) / (marks[2] - marks[0]) == pytest.approx(8 / 40, abs=0.01)
    assert [item.time for item in view.lines] == ["0:04", "0:12", "0:44"]


@pytest.mark.parametrize(
    "values", [{"strings": 3}, {"strings": [{"string": 1}]}, {"pedals": []}, {"size": "none"}, {"changes": "x"}]
)
def test_values_of_another_form_give_a_table_and_no_picture(values: dict[str, Any]) -> None:
    (view,) = plans.views([Plan("x", "tuning", "P1", (line(1, **values),))], {"sizes": 4}, {})
    assert view.pictures == ()
    assert len(view.lines) == 1


def test_numbers_that_are_none_are_passed_over() -> None:
    strings = [{"string": "1", "pitch": "D4"}, {"string": "2", "pitch": "C999999999"}]
    odd = [{"strings": ["1"], "to": 5, "semitones": value} for value in (float("nan"), float("inf"), 1e9, True)]
    lines = (line(1, strings=strings), *(line(2, seconds=float("inf"), changes=[change]) for change in odd))
    (view,) = plans.views([Plan("x", "tuning", "P1", lines)], {}, {})
    assert all("D4" in told(drawn(svg)) for svg, _ in view.pictures[:-1])
    assert {item.time for item in view.lines} == {""}
    (breaths,) = plans.views([Plan("b", "breath", "P1", lines[1:])], {}, {})
    assert breaths.pictures == ()
