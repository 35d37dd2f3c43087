"""The planner against published tunings: it is given the notes of a piece, never the name of the tuning.

Sources beside the checks. Koto: Craig Sapp, Koto Sound Dictionary, koto.sapp.org (eight tunings, strings 1 to 13).
"""

from __future__ import annotations

import time
from functools import cache

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Plan, Report
from xmlcheck.pitch import Pitch, parse
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini
from xmlcheck_zither.facets import Retuning, StringSet
from xmlcheck_zither.planning.reach import Reach, points
from xmlcheck_zither.planning.strings import freely

KOTO = {
    "hirajōshi on D": "D4 G3 A3 Bb3 D4 Eb4 G4 A4 Bb4 D5 Eb5 G5 A5",
    "kumoijōshi on D": "D4 G3 Ab3 C4 D4 Eb4 G4 Ab4 C5 D5 Eb5 G5 A5",
    "hon-kumoijōshi on D": "D4 G3 Ab3 C4 D4 Eb4 G4 Ab4 C5 D5 Eb5 G5 Ab5",
    "nogijōshi on D": "D4 G3 A3 B3 D4 E4 G4 A4 B4 D5 E5 G5 A5",
    "gakujōshi on D": "D4 G3 A3 C4 D4 E4 G4 A4 C5 D5 E5 G5 A5",
    "kokinjōshi on D": "D4 G4 A3 C4 D4 Eb4 G4 A4 C5 D5 Eb5 G5 A5",
    "iwatojōshi on D": "D4 G3 Ab3 C4 Db4 F4 G4 Ab4 C5 Db5 F5 G5 Ab5",
    "nakazorajōshi on D": "D4 G3 A3 Bb3 D4 E4 F4 A4 Bb4 D5 E5 F5 A5",
}
PENTATONIC = {
    "D": ("D E F# A B", []),
    "G": ("G A B D E", ["strings 4, 9, 14, 19: F# -> G"]),
    "A": ("A B C# E F#", ["strings 1, 6, 11, 16, 21: D -> C#"]),
    "C": ("C D E G A", ["strings 2, 7, 12, 17: B -> C", "strings 4, 9, 14, 19: F# -> G"]),
}
"""G, A and C are the keys that a guzheng in D goes to most readily (plnmw.com). To A every do goes down a semitone
(zgmzyq.cn, How to change the key of guzheng from D to A); to G mi goes up, to C mi and la do (worked out from the scales)."""


@cache
def installed() -> Registry:
    return discover()


def checked(notes: str, heading: str) -> Report:
    return check_source(from_bytes(mini.score([mini.Part(notes, heading)]), "test.musicxml"), installed(), Config())


def plan(notes: str, heading: str) -> Plan:
    (found,) = checked(notes, heading).plans
    return found


def scale(names: list[str]) -> str:
    """Quarter notes up and down over these pitches."""
    ordered = sorted(set(names), key=lambda name: parse(name).cents)
    return "tempo=60 <mf> " + " ".join([f"{ordered[0]}.q", *ordered[1:], *reversed(ordered)])


def between(letters: str, low: str, high: str) -> list[str]:
    """The notes of these letters from one pitch to another."""
    every = [f"{letter}{octave}" for octave in range(1, 8) for letter in letters.split()]
    return [name for name in every if parse(low).cents <= parse(name).cents <= parse(high).cents]


@pytest.mark.parametrize("title", KOTO)
def test_a_named_koto_tuning_is_recognised_by_its_scale(title: str) -> None:
    values = plan(scale(KOTO[title].split()), "Koto").lines[0].values
    assert values["tuning"] == title
    assert [item["pitch"] for item in values["strings"]] == KOTO[title].split()


@pytest.mark.parametrize("title", KOTO)
def test_a_koto_tuning_is_found_without_its_name(title: str) -> None:
    """With hirajoshi alone to start from and two semitones for each string: all notes open, on the published pitches.

    String 1 doubles D4 where the scale has D; strings whose pitch the scale does not need may stay.
    """
    home = tuple(sorted(parse(name).cents for name in KOTO["hirajōshi on D"].split()))
    options = tuple(tuple(pitch + 100 * step for step in range(-2, 3)) for pitch in home)
    wanted = {parse(name).cents: 1 for name in KOTO[title].split()}
    cost, tuning = freely(wanted, options, home, Reach(200, 200))
    assert points(cost) == 0
    assert set(wanted) <= set(tuning)


@pytest.mark.parametrize("key", PENTATONIC)
def test_guzheng_in_the_near_keys(key: str) -> None:
    letters, moves = PENTATONIC[key]
    first = plan(scale(between(letters, "C#2", "D6")), "Guzheng").lines[0]
    changes = first.values["changes"]
    found = [f"strings {', '.join(change['strings'])}: {change['from']} -> {change['to']}" for change in changes]
    assert sorted(found) == sorted(moves)
    assert first.values["effort"] == 0
    classes = {parse(item["pitch"]).cents % 1200 for item in first.values["strings"]}
    assert classes == {parse(f"{letter}4").cents % 1200 for letter in letters.split()}


def test_the_coloured_strings_are_a() -> None:
    """zgmzyq.cn: strings 3, 8, 13 and 18 are coloured; string 8 is a1."""
    strings = plan(scale(between("D E F# A B", "D2", "D6")), "Guzheng").lines[0].values["strings"]
    assert [strings[n - 1]["pitch"] for n in (3, 8, 13, 18)] == ["A5", "A4", "A3", "A2"]


def test_kora_from_silaba_to_sauta() -> None:
    """Josh Doughty, How to tune a kora: the B strings are raised from flat to natural; three of them on his kora of 22, two of 21."""
    first = plan(scale(["F3", "G3", "A3", "B3", "C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"]), "Kora").lines[0]
    assert first.values["tuning"] == "Sauta (fourth degree raised)"
    assert [(change["strings"], change["to"]) for change in first.values["changes"]] == [(["Bb3", "Bb4"], "B")]


def test_santur_in_shur() -> None:
    """santoori.com, tuning chart for dastgah-e Shur: nine courses in three positions."""
    chart = "E3-50c F3 G3 A3-50c Bb3 C4 D4 Eb4 F4 E4-50c G4 A4-50c Bb4 C5 D5-50c Eb5 F5 E5-50c G5 Ab5 Bb5 C6 D6-50c Eb6 F6"
    first = plan(scale(chart.split()), "Santur").lines[0]
    assert first.values["tuning"] == "Shur in G"
    assert first.values["changes"] == []


@pytest.mark.parametrize(
    ("letters", "title"),
    [("C D E G A", "folk songs"), ("F G A C D", "bắc"), ("Bb C D F G", "ngũ cung đảo"), ("Eb F G Bb C", "nam")],
)
def test_dan_tranh(letters: str, title: str) -> None:
    """dantranh.com, How to tune: folk songs in C, bac in F, ngu cung dao in B flat, nam in E flat."""
    first = plan(scale(between(letters, "C4", "C6")), "Đàn tranh").lines[0]
    assert str(first.values["tuning"]).startswith(title)


def test_b_flat_dorian_on_a_guzheng_in_d() -> None:
    """Not one open string has the scale (Denburg, Zheng): all 20 notes would be pressed.

    Every bridge a semitone lower, which is within what he grants, leaves two degrees of seven to pressing: C and G.
    """
    notes = "tempo=72 <mp> Bb3.q C4 Db4 Eb4 | F4 G4 Ab4 Bb4 | Bb4 Ab4 G4 F4 | Eb4 Db4 C4 Bb3 | Db4 F4 Ab4 Bb4"
    found = checked(notes, "Guzheng")
    (finding,) = [item for item in found.findings if item.rule == "tuning.unwritten"]
    first = found.plans[0].lines[0]
    assert finding.plan == found.plans[0].id
    assert first.values["short"] == "Tuning: D major pentatonic, all strings 1 semitone down"
    assert first.values["exact"]
    assert finding.values["pressed"] == 4
    assert finding.values["before"].startswith("20 ")
    assert not [item for item in found.findings if item.rule in ("tuning.left-over", "tuning.unreachable", "pressing.too-high")]


def test_a_chromatic_run_in_sixteenths() -> None:
    """At 120 a query, with the player's reason. Documented values alone do not exclude it: a semitone and a tone are pressed
    (sansluthier.net; pressing.up = 2, documented) and every note of the run lies within them; what excludes it is the pace of the
    pressing hand, for which nothing is published (pressing.seconds = 0.25, memory)."""
    run = "A4.s Bb4 B4 C5 C#5 D5 Eb5 E5 F5 F#5 G5 G#5 A5 Bb5 B5 C6"
    found = checked(f'tempo=120 <mf> "1=D" D4.h A4 | {run} | D5.w', "Guzheng")
    (finding,) = [item for item in found.findings if item.rule.startswith("pressing.")]
    assert finding.rule == "pressing.too-fast"
    assert finding.grade.value == "query"
    assert [value.partition(" (")[0] for value in finding.rests_on] == ["pressing.seconds = 0.25"]
    assert "(memory" in finding.rests_on[0]
    assert "pressing hand" in finding.message
    assert not [item for item in found.findings if item.grade.value == "halt"]


def test_named_tunings_are_the_published_ones() -> None:
    strings = installed().profile("koto").facets["string_set"]
    assert isinstance(strings, StringSet)
    assert {tuning.title: " ".join(pitch.name for pitch in tuning.pitches) for tuning in strings.tunings} == KOTO


@pytest.mark.parametrize(
    "name", ["guzheng", "koto", "koto-17", "gayageum-12", "gayageum-25", "dan-tranh", "kora", "santur-persian"]
)
def test_no_retuning_time_claims_to_be_published(name: str) -> None:
    """Nothing was found in print on seconds a string, but for the kora's minutes, so no such value may stop a take."""
    retuning = installed().profile(name).facets["retuning"]
    assert isinstance(retuning, Retuning)
    assert retuning.seconds is None or retuning.seconds.certainty.value == "memory"


def cue(bars: int) -> str:
    """A long cue that goes through D, G and A pentatonic with a few bars of rest in between."""
    scales = [between(PENTATONIC[key][0], "D4", "B5") for key in "DGA"]
    out = ["tempo=96 <mf>"]
    for bar in range(bars):
        if bar % 37 == 36:
            out.append("R R R")
            continue
        notes = scales[bar // 37 % 3]
        out.append(" ".join(notes[(bar * 5 + n * 3) % len(notes)] + (".e" if n == 0 else "") for n in range(8)) + " |")
    return " ".join(out)


@pytest.mark.parametrize("heading", ["Guzheng", "Koto"])
def test_400_bars_are_planned_in_half_a_second(heading: str) -> None:
    from tests.unit.zither.reading import desk
    from xmlcheck_zither.facets import Picks, Pressing
    from xmlcheck_zither.stated import Statements
    from xmlcheck_zither.uses import Played
    from xmlcheck_zither.zithers import tuning_plan

    found = desk(cue(400), heading)
    values = {kind: found._find(kind) for kind in (Played, StringSet, Retuning, Pressing, Picks, Statements)}
    assert len(values[Played].uses) > 2500
    took = []
    for _ in range(3):
        start = time.process_time()
        made = tuning_plan(
            found.chair,
            values[Played],
            values[StringSet],
            values[Retuning],
            values[Pressing],
            values[Picks].right.value,
            values[Statements],
        )
        took.append(time.process_time() - start)
    assert len(made.spans) > 5
    assert min(took) < 0.5


def test_pitches_are_spelled_as_the_part_spells_them() -> None:
    first = plan("tempo=60 <mf> Ab3.q Db4 Eb4 Ab4 | Db4.w", "Guzheng").lines[0]
    names = {Pitch.name.fget(parse(item["pitch"]))[:2] for item in first.values["strings"]}  # type: ignore[attr-defined]
    assert "Db" in names
    assert "C#" not in names
