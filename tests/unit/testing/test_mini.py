"""The tiny notation against two things outside this project: the schema of MusicXML 4.0, and music21's reading of the file."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import music21
import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from xmlcheck.testing import Instrument, MiniError, Part, mini, mini_marks, part, score, xsd

pytestmark = pytest.mark.skipif(not xsd.available(), reason=xsd.MISSING)

# Values for marks whose element must not be empty or needs a type (MusicXML 4.0 schema, complex types of these names).
VALUES = {
    "slur": "start", "tied": "let-ring", "tuplet": "start", "glissando": "start", "slide": "stop", "wavy-line": "start",
    "hammer-on": "start", "pull-off": "stop", "non-arpeggiate": "bottom", "arrow": "up", "hole": "half", "harmon-mute": "half",
    "tremolo": "3", "bend": "-1/release", "string": "1", "fret": "5", "handbell": "damp", "accidental-mark": "sharp",
    "other-notation": "x",
}  # fmt: skip
GROUPS = {"articulations": mini_marks.ARTICULATIONS, "technical": mini_marks.TECHNICAL, "ornaments": mini_marks.ORNAMENTS}


def measures(notes: str) -> list[etree._Element]:
    return etree.fromstring(score(notes)).findall("part/measure")


def notes_of(text: str) -> list[etree._Element]:
    return etree.fromstring(score(text)).findall("part/measure/note")


def heard(data: bytes) -> list[list[tuple[float, tuple[int, ...], float]]]:
    """Onset, MIDI pitches and length in quarter notes of each part's notes, ties joined, as music21 reads them."""
    read: Any = music21.converter.parseData(data, format="musicxml").stripTies()
    result = []
    for one in read.parts:
        found = [n for n in one.flatten().notes if not n.duration.isGrace]
        result.append(sorted((float(n.offset), tuple(p.midi for p in n.pitches), float(n.quarterLength)) for n in found))
    return result


def test_reads_as_it_is_written() -> None:
    text = '"pizz." [D3 A3].q!accent E4.e F4 <mf> G4.h | {3:2 A4.e B4 C5} D5.h.'
    third, second_third, last_third = (pytest.approx(x) for x in (1 / 3, 4 + 1 / 3, 4 + 2 / 3))
    assert heard(score(text)) == [
        [
            (0.0, (50, 57), 1.0), (1.0, (64,), 0.5), (1.5, (65,), 0.5), (2.0, (67,), 2.0),
            (4.0, (69,), third), (second_third, (71,), third), (last_third, (72,), third), (5.0, (74,), 3.0),
        ]
    ]  # fmt: skip


def test_splits_and_ties_what_crosses_barlines() -> None:
    bars = measures("meter=3/4 C4.q D4.5h E4.q")
    assert [[int(d.text or 0) for d in bar.findall("note/duration")] for bar in bars] == [[1, 2], [3], [3], [2, 1]]
    assert heard(score("meter=3/4 C4.q D4.5h E4.q")) == [[(0, (60,), 1), (1, (62,), 10), (11, (64,), 1)]]


def test_voices_and_staves() -> None:
    data = score("V1: C5.w | D5.w  V2: S2: E3.h F3 | _.h G3")
    assert heard(data) == [[(0.0, (72,), 4.0), (4.0, (74,), 4.0)], [(0.0, (52,), 2.0), (2.0, (53,), 2.0), (6.0, (55,), 2.0)]]
    assert [clef.findtext("sign") for clef in etree.fromstring(data).iter("clef")] == ["G", "F"]


def test_parts_are_as_long_as_the_longest() -> None:
    root = etree.fromstring(score([Part("C4.w"), part({"notes": "C4.w D4 E4", "name": "Second", "id": "X"})]))
    assert [len(one.findall("measure")) for one in root.findall("part")] == [3, 3]
    assert [one.get("id") for one in root.findall("part")] == ["P1", "X"]
    assert root.find("part/measure[3]/note/rest[@measure='yes']") is not None


def test_sounds_and_instruments_are_listed() -> None:
    one = Part(
        "instrument=2 C4.w", "Flute", sound="wind.flutes.flute", instruments=(Instrument("a"), Instrument("b", program=74))
    )
    root = etree.fromstring(score([one, Part("C4", "Lone", abbreviation="L.", sound="pluck.lute", program=25)], title="A & B"))
    assert xsd.errors(etree.tostring(root)) == []
    assert [item.get("id") for item in root.iter("score-instrument")] == ["P1-I1", "P1-I2", "P2-I1"]
    assert root.find("part/measure/note/instrument").get("id") == "P1-I2"  # type: ignore[union-attr]
    assert root.findtext("part-list/score-part[2]/score-instrument/instrument-sound") == "pluck.lute"


@pytest.mark.parametrize("group", GROUPS)
def test_knows_every_mark_of_the_standard(group: str) -> None:
    # Outside source: the elements that the MusicXML 4.0 schema lists in the complex type of this name.
    file = xsd._file("musicxml")
    assert file is not None
    space = "{http://www.w3.org/2001/XMLSchema}"
    kinds = etree.parse(str(file)).getroot().findall(f"{space}complexType[@name='{group}']")
    listed = {str(item.get("name")) for kind in kinds for item in kind.iter(f"{space}element")}
    assert GROUPS[group] == listed - {"accidental-mark"}


@pytest.mark.parametrize("name", mini_marks._ALL)
def test_marks_are_valid(name: str) -> None:
    value = VALUES.get(name)
    data = score(f"C4.w!{name}" + (f"={value}" if value else ""))
    assert xsd.errors(data) == []
    assert etree.fromstring(data).find(f".//notations//{name}") is not None


@pytest.mark.parametrize("name", sorted({*mini_marks.DYNAMICS, *mini_marks._SIGNS}))
def test_signs_are_valid(name: str) -> None:
    data = score(f"<{name}> C4.w")
    assert xsd.errors(data) == []
    assert etree.fromstring(data).find("part/measure/direction/direction-type/*") is not None


DOCUMENTED = [
    "D4.q", "Bb3", "F##5", "E4-50c", ".3h", "[D3 A3].h", "[D3!harmonic=/base G3!harmonic=/touching].h", "D4.h~ D4.q", "'C5",
    "'C5.s", "'[C5 E5]", "X.q", "XE4.q", "r.h", "R", "_.q", "{3:2 C4.e D4 E4}", "{x8 C4 D4}", "{cue C4 D4}", "{hidden C4}",
    "|!", "|:", ":|", "ending=1", "ending=stop", "D4!staccato!up-bow", "!fermata", "!stopped", "!trill-mark", "!arpeggiate",
    "!slur=start/2", "!glissando=start", "!tied=let-ring", "!tremolo=3/start", "!fingering=2", "!string=1", "!fret=5",
    "!pluck=p", "!bend=-1", "!bend=1/release", "!arrow=up", "!hole=half", '!other-technical="half hole"', "!harmonic=natural",
    "!harmonic=artificial/touching", "!head=x", "!head=normal/parentheses", "!accidental=natural", "!size=cue", "!stem=none",
    "!lyric=la", "!@dynamics=70", "!@print-object=no", "!@attack=-3", '"pizz."', "<mf>", "<cresc>", "<ped-end>", "<8va>",
    "<8-end>", "<damp-all>", "tempo=q.:60", "meter=3+2/8", "meter=free", "key=3/minor", "clef=treble-8", "clef=C3",
    "transpose=-2/-1", "transpose=0/0/-1", "rehearsal=A", "barline=light-heavy", "sound=dacapo:yes",
]  # fmt: skip


@pytest.mark.parametrize("token", DOCUMENTED)
def test_what_is_documented_is_written_and_valid(token: str) -> None:
    assert token in (mini.__doc__ or "")
    text = {"|!": "C4.q |! C4.w", ":|": "C4.w :| D4", "ending=stop": "ending=1 C4.w ending=stop :|"}.get(token)
    if text is None:
        text = f"C4.q{token}" if token[0] in "!." and token != ".3h" else f"C4.3h {token}" if token == "R" else f"{token} C4.q"
    text = {".3h": "C4.3h", "R": "R C4"}.get(token, text)
    assert xsd.errors(score(text)) == []


def test_a_tie_that_leads_nowhere_is_kept() -> None:
    ties = [[tie.get("type") for tie in note.findall("tie")] for note in notes_of("C4.q~ C4~ D4 C4")]
    assert ties == [["start"], ["stop", "start"], [], []]


def test_grace_notes_between_tied_notes_change_nothing() -> None:
    ties = [[tie.get("type") for tie in note.findall("tie")] for note in notes_of("C4.h~ 'D4 C4.h")]
    assert ties == [["start"], [], ["stop"]]


def test_directions_stand_before_their_note_or_at_the_end_of_the_bar() -> None:
    bar, following = measures('C4.h <cresc> D4 <end> | "arco" E4.w')
    assert [child.tag for child in bar] == ["attributes", "note", "direction", "note", "direction"]
    assert [child.tag for child in following] == ["direction", "note"]


def test_a_pickup_bar() -> None:
    bars = measures("meter=3/4 G4.q |! C5.h D5.q | E5.h.")
    assert [(bar.get("number"), bar.get("implicit")) for bar in bars] == [("0", "yes"), ("1", None), ("2", None)]


def test_repeats() -> None:
    bars = measures("|: C4.w ending=1 D4 ending=stop :| ending=2 E4")
    read: Any = music21.converter.parseData(
        score("|: C4.w ending=1 D4 ending=stop :| ending=2 E4 ending=stop"), format="musicxml"
    )
    assert bars[1].find("barline[@location='right']/repeat[@direction='backward']") is not None
    assert [n.pitch.midi for n in read.parts[0].expandRepeats().flatten().notes] == [60, 62, 60, 64]


def test_tempo_is_printed_and_played() -> None:
    root = etree.fromstring(score("tempo=q.:60 C4.q"))
    assert root.find(".//sound").get("tempo") == "90"  # type: ignore[union-attr]
    assert root.findtext(".//per-minute") == "60"


def test_settings_mid_bar_stand_where_they_are_written() -> None:
    (bar,) = measures("C4.h clef=alto key=-2 transpose=-2/-1 D4.h")
    assert [child.tag for child in bar] == ["attributes", "note", "attributes", "attributes", "attributes", "note"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("C4.q |", "bar 1, '|': the bar holds 1 of 4 quarter notes"),
        ("C4.w | | D4", "nothing stands in the bar before it"),
        ("C4.w H4", "'H4' is not understood"),
        ("C4.y", "'C4.y' is not understood"),
        ("C4.qD4", "not understood"),
        ("{3:2 C4.e D4", "'{3:2' is never closed"),
        ("C4 }", "closes nothing"),
        ("C4!slur-start", "bar 1: !slur-start: no such mark in the standard (write slur=start?)"),
        ("C4.w C4!stacato", "bar 2: !stacato: no such mark in the standard (staccato?)"),
        ("<forte> C4", "no such sign"),
        ("C4.q meter=3/4", "stands at a bar's start"),
        ("C4.w V2: meter=3/4 D4", "in the voice that is written first"),
        ("C4.w V2: D4.h |!", "the voice that is written first says where bars end"),
        ("instrument=2 C4", "the part has 1 instrument(s)"),
        ("volume=3 C4", "no such setting"),
        ("[C4 r].q", "a chord holds pitches"),
        ("{4 C4}", "a group is"),
        ("{x2 V2: C4}", "a voice begins outside of all groups"),
        ("C4.h. {3:2 C4.h D4 E4}", "a note of a tuplet crosses the barline"),
        ("{3:2 C4.e} D4.w", "no note values make up"),
        ("R.q", "a bar of rest has no length"),
        ("'r", "a grace note is a pitch or chord"),
        ("clef=soprano C4", "clef=soprano: write"),
        ("key=Bb C4", "write the number of sharps"),
        ("tempo=fast C4", "tempo=fast: write"),
        ("transpose=up C4", "transpose=up: write"),
        ("sound=fine C4", "write sound=attribute:value"),
        ("", "no notes"),
    ],
)
def test_says_what_is_amiss_and_where(text: str, says: str) -> None:
    with pytest.raises(MiniError) as caught:
        score(text)
    assert says in str(caught.value)
    assert str(caught.value).startswith("part 'Music': ")


def test_an_unknown_key_of_a_part_is_told() -> None:
    with pytest.raises(MiniError, match="unknown key 'note'"):
        part({"note": "C4"})


LENGTH = st.tuples(st.sampled_from("whqes"), st.sampled_from(["", "."]), st.sampled_from(["", "3", "5"]))
PITCH = st.sampled_from(["C4", "F#5", "Bb2", "[C4 E4]", "r"])


@given(st.lists(st.tuples(PITCH, LENGTH), min_size=1, max_size=12), st.sampled_from(["4/4", "3/4", "5/8", "2+3/16"]))
def test_bars_are_full_and_lengths_are_kept(items: list[tuple[str, tuple[str, str, str]]], meter: str) -> None:
    quarters = {"w": Fraction(4), "h": Fraction(2), "q": Fraction(1), "e": Fraction(1, 2), "s": Fraction(1, 4)}
    text = " ".join(f"{pitch}.{count}{letter}{dot}" for pitch, (letter, dot, count) in items)
    root = etree.fromstring(score(f"meter={meter} {text}"))
    divisions = int(root.findtext(".//divisions") or 0)
    beats, unit = meter.split("/")
    bar = Fraction(4 * sum(map(int, beats.split("+"))), int(unit)) * divisions
    for measure in root.findall("part/measure"):
        assert sum(int(n.findtext("duration") or 0) for n in measure.findall("note") if n.find("chord") is None) == bar
    # Lengths: a note's ties joined again give what was written. Checked on the sum, rests at the end apart.
    sounded = sum(
        int(n.findtext("duration") or 0) for n in root.iter("note") if n.find("pitch") is not None and n.find("chord") is None
    )
    written = sum(quarters[a] * int(c or 1) * Fraction(3 if dot else 2, 2) for p, (a, dot, c) in items if p != "r")
    assert Fraction(sounded, divisions) == written
    starts, stops = (sum(tie.get("type") == kind for tie in root.iter("tie")) for kind in ("start", "stop"))
    assert starts == stops
