"""Bowed instruments outside the orchestra, through the whole check: what sources print passes, a tone beyond it is found.

Every figure stands beside the source that prints it, read for this test or named in the profile. Where sources disagree or a
value is from memory the beyond is still found, but never stops a take. Middle C is C4.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest

from xmlcheck import facets
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Finding, Grade, Report
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import Part, score


@dataclass(frozen=True)
class Line:
    """One instrument. inside: written notes from one end of the compass towards the other. low, high: the ends as they sound,
    and `sure` whether the sources are sure of each. under, over: written notes a tone beyond."""

    heading: str
    inside: str
    low: str
    high: str
    under: str
    over: str
    source: str
    sure: tuple[bool, bool] = (False, False)


# fmt: off
LINES = {
    "gaohu": Line(
        "Gaohu", "G4.q B4 D5 G5 A6 B6", "G4", "B6", "F4", "C#7",
        "gaohu overview, zgmzyq.cn: common range a1 (g1) to b3 (a3), written at pitch", (True, False),
    ),
    "zhonghu": Line(
        "Zhonghu", "G3.q D4 G4 G5 C6 D6", "G3", "D6", "F3", "E6",
        "P. Noll, Zhonghu: g and d1, about two octaves; the top from memory", (True, False),
    ),
    "jinghu": Line(
        "Jinghu", "A4.q B4 E5 F#6 A6 B6", "A4", "B6", "G4", "C#7",
        "Cui Zhanshan, On tuning the jinghu: erhuang in D, inner A, outer E; two octaves in the school site",
    ),
    "banhu": Line(
        "Banhu", "D5.q A5 D6 D7 G7 A7", "D5", "A7", "C5", "B7",
        "tuning: sources disagree (a fifth or a fourth); the ends from memory",
    ),
    "gehu": Line(
        "Gehu", "clef=bass C2.q G2 D3 A3 D5 A5", "C2", "A5", "Bb1", "B5",
        "B. Voo, cello.org: strings tuned exactly as a cello's; the top from memory", (True, False),
    ),
    "diyingehu": Line(
        "Diyingehu", "clef=bass transpose=0/0/-1 E2.q A2 D3 G3 G4 G5", "E1", "G4", "D2", "A5",
        "B. Voo, cello.org: strings tuned exactly as a double bass's; the top from memory", (True, False),
    ),
    "morin-khuur": Line(
        "Morin khuur", "clef=bass F2.q Bb2 F3 Bb3 Bb4 Eb5", "F2", "G6", "Eb2", "A6",
        "mongolianstore.com: Bb and F below the octave of middle C; Koizumi g039-2: compass G3 to G6",
    ),
    "haegeum": Line(
        "Haegeum", "Ab3.q Eb4 Ab4 Eb5 E6 A6", "Ab3", "A6", "Gb3", "B6",
        "hdm.kr no. 59: up to three octaves; the strings' pitch from memory",
    ),
    "kokyu": Line(
        "Kokyū", "C4.q D4 G4 C5 G5 D6", "C4", "D6", "Bb3", "E6",
        "promusica.or.jp: D-G-C or D-G-D; zh encyclopaedia: C-F-Bb; octave from memory",
    ),
    "kamancheh": Line(
        "Kamancheh", "F3.q C4 G4 D5 D6 A6", "F3", "A6", "Eb3", "B6",
        "vi-co.org: f c1 g1 d2; azerbaijans.com: up to the a of the third octave", (True, False),
    ),
    "kemence-classical": Line(
        "Klasik kemençe", "A3.q D4 A4 D5 A5 E6", "A3", "E6", "G3", "F#6",
        "tr.wikipedia.org, Klasik kemençe: yegâh on a violin's G string, two to two and a half octaves", (True, False),
    ),
    "kemence-black-sea": Line(
        "Karadeniz kemençesi", "A3.q B3 E4 A4 A5 D6", "A3", "D6", "G3", "E6",
        "pontosworld.com: zil la, middle mi, kapan si; octave from memory",
    ),
    "sarangi": Line(
        "Sarangi", "B2.q C3 G3 C4 C6 G6", "B2", "G6", "A2", "A6",
        "Courtney: Sa, lower Pa, low Sa; octaves from memory",
    ),
    "esraj": Line(
        "Esraj", "B2.q E3 A3 E4 E5 A5", "B2", "A5", "A2", "B5",
        "Koizumi no. 287: B2 E3 E3 A3, B2 to A5; others: Sa is free",
    ),
    "nyckelharpa": Line(
        "Nyckelharpa", "C3.q G3 C4 A4 E6 G6", "C3", "G6", "Bb2", "A6",
        "nyckelharpa.org: C3 G3 C4 A4; nyckelharpa.weebly.com: keys from g to g3", (True, True),
    ),
    "hardanger-fiddle": Line(
        "Hardingfele", "transpose=2/1 Eb3.q A3 D4 A4 A5 D6", "F3", "E6", "Db3", "E6",
        "en.wikipedia.org: written C sounds D; lokalhistoriewiki.no: gorrlaus f d1 a1 e2; top from memory",
    ),
    "hurdy-gurdy": Line(
        "Vielle à roue", "D2.q D3 D4 D5 A6 D7", "D2", "D7", "C2", "E7",
        "laviellearoue.blogspot.com: gros bourdon D2 or G2, chanterelles D4 and D5, two octaves of keys", (True, True),
    ),
}
# fmt: on
every_line = pytest.mark.parametrize("name", LINES)

# Open strings as they lie, from the bass side, and who prints them (letters; octaves from memory where the profile says so).
OPEN = {
    "gaohu": ("G4 D5", "museumofworldmusic.com, Gaohu: 'Tuning: G4 D5'"),
    "zhonghu": ("G3 D4", "P. Noll, Zhonghu"),
    "jinghu": ("B4 F#5", "school music site: erhuang on an instrument in E; sol and re (yueqixuexi.com: 京胡定弦为 sol re)"),
    "gehu": ("C2 G2 D3 A3", "popflock.com, Gehu: C-G-D-A, exactly like the cello's"),
    "diyingehu": ("E1 A1 D2 G2", "paulnoll.com: tunes like the double bass"),
    "morin-khuur": ("F2 Bb2", "mongolianstore.com: Bb an octave and a tone, F an octave and a fifth below middle C"),
    "kokyu": ("D4 G4 C5", "promusica.or.jp: D-G-C, perfect fourths upward"),
    "kamancheh": ("F3 C4 G4 D5", "vi-co.org: f - c1 - g1 - d2"),
    "kemence-classical": ("A3 D4 A4", "yegâh, rast, neva; itrimusic.com.tr: neva is 440 Hz"),
    "kemence-black-sea": ("B3 E4 A4", "pontosworld.com: si, mi, la"),
    "esraj": ("B2 E3 E3 A3", "Koizumi catalogue no. 287"),
    "nyckelharpa": ("C3 G3 C4 A4", "nyckelharpa.org: C3, G3, C4 and A4"),
    "hardanger-fiddle": ("B3 E4 B4 F#5", "A D A E written (lokalhistoriewiki.no), a tone higher sounding"),
    "hurdy-gurdy": ("G2 C3 C5 G4 G4", "laviellearoue.blogspot.com: G vielle"),
}

SHARED = {"kemence-classical": {"kemence-black-sea"}, "kemence-black-sea": {"kemence-classical"}}
"""Instruments that share names: recognition has to ask."""

# Words or signs, and whether the instrument has them. What is physical says why; else common practice, no source.
ASKED = [
    ("gaohu", '"拨弦" G4.q D5', False, "plucking is in the erhu technique summary (kvernmusic.blogspot.com)"),
    ("gaohu", '"col legno" G4.q D5', True, "the stick is caught: the hair runs between the strings"),
    ("haegeum", 'A3.q!snap-pizzicato', True, "no fingerboard to snap against (monkhaus.com)"),
    ("nyckelharpa", "C4.q!glissando=start D4!glissando=stop", True, "each key gives one pitch (strangeandancientinstruments.com)"),
    ("kamancheh", "C4.q!glissando=start D4!glissando=stop", False, "no frets (shahriyarjamshidi.com)"),
    ("hurdy-gurdy", "C5.q!up-bow", True, "a wheel, no bow (centrepatrimoineimmateriel.fr)"),
    ("hurdy-gurdy", '"trompette" C5.q', False, "the buzzing bridge (moypiano.com)"),
    ("sarangi", '"con sord." C4.q', True, "common practice, no source"),
    ("gehu", 'clef=bass "pizz." C3.q G3', False, "cello strings and bows are used (cello.org)"),
    ("morin-khuur", 'clef=bass "flz." Bb2.q', True, "a wind player's tongue"),
    ("hardanger-fiddle", 'transpose=2/1 "trollstilt" A3.q E4', False, "a tuning's name (lokalhistoriewiki.no)"),
    ("esraj", "A3.q!snap-pizzicato", True, "common practice, no source"),
    ("kokyu", '"pizz." D4.q G4', False, "common practice, no source"),
]  # fmt: skip


@cache
def registry() -> Registry:
    return discover()


@cache
def instrument(name: str) -> Profile:
    return registry().profile(name)


def checked(name: str, notes: str) -> Report:
    """The check of one part under the instrument's own heading."""
    data = score(Part(f"tempo=60 <mf> {notes}", LINES[name].heading))
    return check_source(from_bytes(data, f"{name}.musicxml"), registry(), Config())


def of(report: Report, *rules: str) -> list[Finding]:
    return [finding for finding in report.findings if finding.rule in rules]


@every_line
def test_a_line_inside_the_compass_passes(name: str) -> None:
    line = LINES[name]
    report = checked(name, line.inside)
    assert [(part.instrument, part.match_certainty) for part in report.parts] == [(name, "sure")], line.heading
    assert [(f.rule, f.message) for f in report.findings if f.grade is Grade.HALT] == [], line.source
    outside = of(report, "compass.below", "compass.above", "strings.no-string", "technique.foreign")
    assert [(f.rule, f.message) for f in outside] == [], line.source


@every_line
@pytest.mark.parametrize("end", [0, 1], ids=["under", "over"])
def test_a_note_a_tone_beyond_is_found(name: str, end: int) -> None:
    line = LINES[name]
    report = checked(name, f"{line.inside} {(line.under, line.over)[end]}")
    found = of(report, ("compass.below", "compass.above")[end])
    assert len(found) == 1, [(f.rule, f.message) for f in report.findings]
    assert found[0].values[("lowest", "highest")[end]] == (line.low, line.high)[end], line.source
    assert (found[0].grade is Grade.HALT) == line.sure[end], line.source


@pytest.mark.parametrize("name", OPEN)
def test_open_strings_are_the_published_ones(name: str) -> None:
    pitches, source = OPEN[name]
    strings: Any = instrument(name).facets["strings"]
    assert [course.pitch.name for course in strings.courses] == pitches.split(), source


def test_strings_of_the_composers_sheet_need_no_other_strings() -> None:
    """vi-co.org, Kamanche: f c1 f1 c2; g d1 g1 d2; f c1 g1 c2; g d1 a1 d2, 'all of which can be tuned without restringing'."""
    strings: Any = instrument("kamancheh").facets["strings"]
    listed = {tuple(pitch.name for pitch in item.pitches) for item in strings.tunings if not item.restring}
    sheet = ("F3 C4 F4 C5", "G3 D4 G4 D5", "F3 C4 G4 C5", "G3 D4 A4 D5")
    assert {tuple(text.split()) for text in sheet} <= listed


@every_line
def test_strings_and_compass_agree(name: str) -> None:
    """No string of a tuning in common use lies under the compass; the top string reaches its end, harmonics aside."""
    profile = instrument(name)
    strings: Any = profile.facets["strings"]
    board: Any = profile.facets["fingerboard"]
    compass = profile.get(facets.Compass)
    assert compass is not None
    usual = [tuple(course.pitch for course in strings.courses), *(item.pitches for item in strings.tunings if item.common)]
    assert min(pitch.cents for pitches in usual for pitch in pitches) >= compass.lowest.value.cents
    reached = []
    for pitches in usual:
        for course, pitch in zip(strings.courses, pitches, strict=True):
            if course.role == "melody":
                highest = board.highest.value if course.highest is None else course.highest
                reached.append(pitch.cents + 100 * highest)
    assert max(reached) >= compass.highest.value.cents


@every_line
def test_words_and_marks_of_family_and_instrument_do_not_clash(name: str) -> None:
    techniques = instrument(name).get(facets.Techniques)
    assert techniques is not None
    for group in (techniques.has, techniques.foreign):
        counts = Counter(word.casefold() for item in group for word in item.words)
        assert [word for word, count in counts.items() if count > 1] == []
    own = {word.casefold() for item in techniques.has for word in (*item.words, *item.cancels)}
    strange = {word.casefold() for item in techniques.foreign for word in item.words}
    assert own & strange == set()
    marks = {mark for item in techniques.has for mark in item.marks}
    assert marks & {mark for item in techniques.foreign for mark in item.marks} == set()


@every_line
def test_every_source_of_the_merged_profile_is_listed(name: str) -> None:
    profile = instrument(name)
    techniques = profile.get(facets.Techniques)
    assert techniques is not None
    items: list[Any] = [*techniques.has, *techniques.foreign, *profile.cautions]
    cited = {key for item in items for key in item.cite}
    assert cited - set(profile.sources) == set()


@every_line
def test_every_alias_finds_its_instrument_or_asks(name: str) -> None:
    entry, names = registry().offers[name].entry, registry().names
    wanted = ({name}, {name} | SHARED.get(name, set()))
    astray = {
        text: names.find(text).ids for text in (*entry.aliases, *entry.abbreviations) if set(names.find(text).ids) not in wanted
    }
    assert astray == {}


@pytest.mark.parametrize(("name", "notes", "strange", "why"), ASKED, ids=[f"{name}-{n}" for n, (name, *_) in enumerate(ASKED)])
def test_what_means_nothing_on_the_instrument_is_asked_about(name: str, notes: str, strange: bool, why: str) -> None:
    assert bool(of(checked(name, notes), "technique.foreign")) == strange, why


@pytest.mark.parametrize(
    ("name", "notes", "found", "why"),
    [
        ("zhonghu", "[G3 B3].h", True, "the bow sounds one string (Lan Tung of the erhu: strings one at a time)"),
        ("haegeum", "[A3 C#4].h", True, "the hair runs between the strings (monkhaus.com)"),
        ("hardanger-fiddle", "transpose=2/1 [D4 A4].h", False, "two strings nearly always (moam.info)"),
        ("kamancheh", "[C4 G4].h", False, "neighbouring open strings (vi-co.org)"),
        ("nyckelharpa", "[G3 C4].h", False, "neighbouring strings"),
    ],
)
def test_two_notes_under_one_bow(name: str, notes: str, found: bool, why: str) -> None:
    assert bool(of(checked(name, notes), "bowed.captive-bow")) == found, why
    if not found:
        assert [f.message for f in checked(name, notes).findings if f.grade is Grade.HALT] == [], why
