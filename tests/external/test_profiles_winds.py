"""The profiles of winds, free reeds, brass and voices that test_winds_tables.py leaves out, against their sources.

Compass and written range stand here a second time, by hand, with the source beside them; "ours" says that no source gives the
figure. Each profile is then put to work: a line that such instruments play brings no halt, and the notes a tone outside the
compass are found, as a halt where the limit is vouched for. Orchestral ones again against music21's instrument classes
(general-purpose library). Octaves: middle C is C4.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import music21
import pytest

import xmlcheck
from xmlcheck import facets
from xmlcheck.finding import Certainty, Finding, Grade
from xmlcheck.partname import fold
from xmlcheck.pitch import parse
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry
from xmlcheck.testing import Part, score
from xmlcheck_free_reed.facets import Reeds
from xmlcheck_reed.facets import Drones
from xmlcheck_winds.facets import Sizes


@dataclass(frozen=True)
class Row:
    """What a source says of the compass, sounding. line: music of the kind, sounding, tiny notation. ours: ends without a source."""

    lowest: str
    highest: str
    line: str
    source: str
    ours: str = ""


SOUNDING = "<defaults><concert-score/></defaults>"
TABLE = "Orchestra Library, ranges after Del Mar, Read, Kennan: "
SAX = "abcdocz.com, Writing music for saxophones: written B flat 3 to F6; D. Bristol: a fifth or sixth above it."

ROWS = {
    "piccolo": Row("D5", "C8", "D6.q F#6.e A6 D7.q C#7.e B6 A6.h", TABLE + "written D4 to C7."),
    "alto-flute": Row("G3", "G6", "G3.q B3 D4.h G4.e A4 B4 D5 G5.q E5.h", TABLE + "written C4 to C7."),
    "oboe": Row("Bb3", "A6", "C4.q F4 A4.e C5 F5 A5 C6.q A5 F5.h", "Abjad: B flat 3 to A6."),
    "cor-anglais": Row("Eb3", "C6", "F3.q A3 C4.e F4 A4 C5 F5.h", TABLE + "written B3 to G6; the low E flat is ours.", "below"),
    "clarinet-a": Row("C#3", "A6", "C#3.q E3 A3.e C#4 E4 A4 C#5.q E5 A5.h", "Grove: lowest C sharp; " + TABLE + "written to C7."),
    "clarinet-e-flat": Row("G3", "Eb7", "G3.q Bb3 Eb4.e G4 Bb4 Eb5 G5.q Bb5.h", TABLE + "written E3 to C7."),
    "clarinet-bass": Row("Bb1", "Bb5", "D2.q F2 Bb2.e D3 F3 Bb3 D4.h", "J. Alder, Space Bass: low C (B flat 1) to C6 of the ninth."),
    "sax-soprano": Row("Ab3", "C7", "C4.q E4 G4.e C5 E5 G5 C6.h", SAX),
    "sax-alto": Row("Db3", "F6", "F3.q Ab3 C4.e F4 Ab4 C5 F5.h", SAX),
    "sax-tenor": Row("Ab2", "C6", "C3.q E3 G3.e C4 E4 G4 C5.h", SAX),
    "sax-baritone": Row("C2", "F5", "C2.q Eb2 G2.e C3 Eb3 G3 C4.h", SAX + " J. Milton: baritone to low A."),
    "bassoon": Row("A1", "G5", "Bb1.q F2 Bb2.e D3 F3 Bb3 D4.q F4.h", "Course text: B flat 1, A1 by a longer bell, up to G5."),
    "contrabassoon": Row("A0", "Bb4", "Bb0.h F1 Bb1.q C2 D2 Eb2 F2.h", "Encyclopaedia: A0 by extension; Abjad: to B flat 4.", "above"),
    "trumpet-c": Row("F#3", "F6", "G3.q C4 E4.e G4 C5 E5 G5.h", "University of Valencia: F sharp 3 to C6; the top is ours.", "above"),
    "trombone-bass": Row("Bb0", "B4", "C2.h F2.q Bb2 D3.e F3 Bb3.q D4.h", "Encyclopaedia: pedal B flat 0, up to B4."),
    "tuba": Row("C1", "Bb4", "F1.q Bb1 D2.e F2 Bb2.q D3 F3.h", "Bandestration: four valves to C1; the top is ours.", "above"),
    "voice-mezzo": Row("E3", "C6", "A3.q C4 E4.e G4 A4.q C5 E5.h", "Allemande Left: A3 to G5, extended E3 to C6.", "below"),
    "voice-baritone": Row("D2", "Bb4", "A2.q C3 E3.e G3 A3.q C4 D4.h", "Allemande Left: G2 to F4, extended D2 to B flat 4.", "below above"),
    "bangdi": Row("C5", "A7", "D5.q G5 A5.e B5 D6 E6 G6.q A6 B6.h", "Eason Music School, an octave up: from C5; two octaves and a fourth."),
    "dadi": Row("C4", "A6", "D4.q G4 A4.e B4 D5 E5 G5.q A5 B5.h", "Eason Music School: F C4, G D4, A E4; two octaves and a fourth."),
    "xiao": Row("C4", "E6", "D4.h G4.q A4 B4 D5 E5.h G5", "Melody of China: G D4 to E6, F C4 to D6."),
    "xun": Row("C4", "D6", "D4.h G4.q A4 B4 D5 E5.h", "Shop note: an octave and a fourth; both ends are ours.", "below above"),
    "hulusi": Row("A3", "B5", "C4.h F4.q G4 A4 C5 D5.h", "zgmzyq.cn: nine notes 3 5 6 7 1 2 3 5 6; the octave is ours.", "below above"),
    "bawu": Row("A3", "B5", "C4.h F4.q G4 A4 C5 D5.h", "zgmzyq.cn: as the hulusi; the octave is ours.", "below above"),
    "guan": Row("A4", "A7", "E5.h A5.q B5 D6 E6 A6.h", "Koizumi archive: small pipe E5, two octaves; both ends are ours.", "below above"),
    "sheng-soprano": Row("G3", "C7", "[G4 D5].h [A4 E5].q G5 A5 [C5 G5 C6].h", "The Sheng Player: 36 reeds G3 to F#6, 42 to C7."),
    "sheng-alto": Row("C3", "B5", "[C4 G4].h [D4 A4].q C5 D5 [F4 C5].h", "The Sheng Player: 36 reeds; both ends are ours.", "below above"),
    "sheng-bass": Row("C2", "G4", "[C3 G3].h [D3 A3].h C3.w", "Jocelyn Tan: about three octaves; both ends are ours.", "below above"),
    "shinobue": Row("E4", "A7", "Bb4.q C5 D5.e F5 G5 Bb5 C6.h D6", "yuki_konkon: number 6 all closed G; octaves ours.", "below above"),
    "ryuteki": Row("C#5", "F#7", "E5.h F#5 A5.q B5 D6.h E6", "Stanford gagaku project: C sharp 5 to F sharp 7."),
    "hichiriki": Row("F4", "A5", "A4.h B4 D5.q E5 F#5.h A5", "Stanford: F4 to A5; Grove: from G4.", "below"),
    "sho": Row("A4", "F#6", "[A4 B4 D5 E5 A5 B5].w [B4 E5 F#5 A5 B5].w", "Jonkara: fifteen pitches A4 to F sharp 6."),
    "daegeum": Row("Bb3", "F6", "Bb3.h Eb4 F4.q Ab4 Bb4 Eb5 F5.h", "Grove: B flat 3, sanjo C4; range note: two octaves and a fourth."),
    "piri": Row("Ab3", "A5", "Ab3.h Bb3 Eb4.q F4 Ab4 Bb4.h", "Grinnell: A flat 3; encyclopaedia: dang-piri C4 to A5."),
    "ney-arabic": Row("Bb3", "Eb7", "D4.h G4.q A4 D5 E5-50c F5 G5.h", "Maqam World: D nay C4 to G6; nays from C to B flat."),
    "ney-persian": Row("C4", "D7", "C4.h D4.q F4 G4 C5 D5 F5.h", "Grove: c' to a', two octaves and a half."),
    "duduk": Row("D3", "E5", "A3.h B3.q C4 D4 E4 F4 G4.h", "R. Danksagmüller: D duduk B3 to D5, G duduk with knee hole D3; a tone by lip."),
    "zurna": Row("Bb3", "C6", "C4.q D4 Eb4.e F4 G4 A4 Bb4.h", "nkfu.com: B flat of the small octave to C of the third.", "below"),
    "kaval": Row("A3", "D7", "D4.h E4.q F4 G4 A4 D5.e E5 F5 G5 A5.h", "Zh. Vasilev: D kaval three octaves; kaba-gaida.com: A, C, D."),
    "bansuri": Row("G3", "D7", "B3.h E4.q F#4 G#4 B4 C#5 E5.h", "docslib 7721344: pipes G3 to C5; two octaves and a fifth."),
    "low-whistle": Row("C4", "F6", "D4.q E4 F#4.e G4 A4 B4 D5 E5 F#5.q D5.h", "Sackpfeifenschule: from F4 downward, about two octaves."),
    "irish-flute": Row("G3", "C7", "D4.q E4 F#4.e G4 A4 B4 D5 D5.h", "Encyclopaedia: in D C4 to C7; the flute in A is ours.", "below"),
    "uilleann-pipes": Row("Bb3", "E6", "D4.q E4 F#4.e G4 A4 B4 D5 D5.h", "Carrig Music: sets D to B flat; FAQ: a note or two over D6."),
    "highland-pipes": Row("Ab4", "Bb5", "Bb4.q C5 D5.e Eb5 F5 G5 Ab5.q F5 Bb5.h", "E. Macpherson: written G4 to A5, a semitone higher."),
    "ocarina": Row("A3", "F7", "C5.q D5 E5.e F5 G5 A5 C6.h", "Pure Ocarinas: bass C4, alto C5 to F6, soprano to F7; 12 holes to A."),
    "panflute-nai": Row("C4", "A7", "G4.q B4 D5.e E5 F#5 G5 B5 D6.h", "Black Pencil: g1-g4, C instrument from c1; Perceptio: to A7."),
    "quena": Row("D4", "G7", "G4.q A4 B4.e D5 E5 G5 B5 D6.h", "Museum of World Music: G and D; memim: three octaves from G4."),
    "siku": Row("D2", "B6", "D4.q E4 G4 A4 B4 D5 E5.h", "Expotips: toyo from re1, chuli from re4 (Latin octaves), malta D4 to B5."),
}  # fmt: skip

every_row = pytest.mark.parametrize("name", ROWS)
SURE = {Certainty.DOCUMENTED, Certainty.PLAYER}


@cache
def registry() -> Registry:
    return xmlcheck.discover()


@cache
def instrument(name: str) -> Profile:
    return registry().profile(name)


def compass(name: str) -> facets.Compass:
    value = instrument(name).get(facets.Compass)
    assert value is not None
    return value


def found(name: str, notes: str) -> list[Finding]:
    """All findings on these notes, headed by the instrument's own name, in a score at sounding pitch."""
    report = xmlcheck.check(score(Part(f"tempo=72 <mf> {notes}", name=instrument(name).name), header=SOUNDING))
    assert [item.instrument for item in report.parts] == [name]
    return list(report.findings)


# --- the values, beside their source ---------------------------------------------------------------------------------------


@every_row
def test_the_compass_is_the_sources(name: str) -> None:
    ours, row = compass(name), ROWS[name]
    assert (ours.lowest.value.name, ours.highest.value.name) == (row.lowest, row.highest), row.source


@every_row
def test_no_value_of_ours_is_called_documented(name: str) -> None:
    """Ends that the row calls ours, or on which sources disagree, must not be able to stop a take; the others can."""
    ends = {"below": compass(name).lowest, "above": compass(name).highest}
    assert {end for end, limit in ends.items() if limit.certainty not in SURE} == set(ROWS[name].ours.split())


# --- the profile at work ---------------------------------------------------------------------------------------------------


@every_row
def test_a_line_of_its_kind_brings_no_halt(name: str) -> None:
    """Common practice, no source: such lines are played. Nor is anything in it outside the compass or foreign."""
    findings = found(name, ROWS[name].line)
    assert [(item.rule, item.message) for item in findings if item.grade is Grade.HALT] == []
    assert [item.message for item in findings if item.rule in {"compass.below", "compass.above", "technique.foreign"}] == []


@every_row
@pytest.mark.parametrize("end", ["below", "above"])
def test_a_note_a_tone_outside_the_compass_is_found(name: str, end: str) -> None:
    """It is a halt where the limit is vouched for, a query where it is ours or sources disagree."""
    row = ROWS[name]
    outside = parse(row.lowest if end == "below" else row.highest).moved(*((-2, -1) if end == "below" else (2, 1)))
    hits = [item for item in found(name, f"{row.line} {outside.name}.q") if item.rule == f"compass.{end}"]
    assert [item.count for item in hits] == [1]
    assert hits[0].grade is (Grade.QUERY if end in row.ours.split() else Grade.HALT)


# --- what several tables of one profile say together -------------------------------------------------------------------------


SIZED = (
    *("bangdi", "dadi", "xiao", "xun", "hulusi", "bawu", "shinobue", "daegeum", "piri", "ney-arabic", "ney-persian", "duduk"),
    *("kaval", "bansuri", "low-whistle", "irish-flute", "uilleann-pipes", "ocarina", "quena", "siku"),
)


@pytest.mark.parametrize("name", SIZED)
def test_sizes_keep_within_the_compass_and_reach_both_ends(name: str) -> None:
    """The compass is that of all sizes: from the longest one's lowest note, with or without lip or knee, to the highest top."""
    sizes = instrument(name).get(Sizes)
    assert sizes is not None
    ours = compass(name)
    longest = min(sizes.carried, key=lambda size: size.lowest.cents)
    assert ours.lowest.value.cents in {longest.lowest.cents, longest.lowest.cents - 100 * longest.below}
    tops = [top.cents for size in sizes.carried if (top := size.extreme or size.highest)]
    assert max(tops) == ours.highest.value.cents


@pytest.mark.parametrize("name", ["sheng-soprano", "sheng-alto", "sheng-bass", "sho"])
def test_the_reeds_end_where_the_compass_does(name: str) -> None:
    reeds = instrument(name).get(Reeds)
    assert reeds is not None
    pitches = [*reeds.pitches.value, *(reeds.optional.value if reeds.optional else ())]
    heights = [pitch.cents for pitch in pitches]
    assert heights == sorted(set(heights))
    assert (heights[0], heights[-1]) == (compass(name).lowest.value.cents, compass(name).highest.value.cents)


@pytest.mark.parametrize(("name", "count"), [("sheng-soprano", 36), ("sheng-alto", 36), ("sho", 15)])
def test_there_are_as_many_reeds_as_the_sources_count(name: str, count: int) -> None:
    """The Sheng Player: 36 reeds, each a semitone; Jonkara: fifteen of the seventeen pipes of a sho sound."""
    reeds = instrument(name).get(Reeds)
    assert reeds is not None
    assert len(reeds.pitches.value) == count


def test_the_chanter_of_the_highland_pipes() -> None:
    """E. Macpherson 1998: G A B C# D E F# G A, written; sounding a semitone higher, and no other note exists."""
    drones = instrument("highland-pipes").get(Drones)
    assert drones is not None
    assert drones.pitches is not None
    written = [pitch.moved(-1, -1).name for pitch in drones.pitches.value]
    assert written == ["G4", "A4", "B4", "C#5", "D5", "E5", "F#5", "G5", "A5"]
    halts = [item.rule for item in found("highland-pipes", "Bb4.q B4 D5.h") if item.grade is Grade.HALT]
    assert "drone.pitch" in halts


@pytest.mark.parametrize(("number", "lowest"), [("3", "E4"), ("6", "G4"), ("7", "G#4"), ("8", "A4"), ("10", "B4")])
def test_a_shinobue_of_each_number_is_a_semitone_higher(number: str, lowest: str) -> None:
    """shinobuenote: one number a semitone; number 6 has do on B flat, 8 on C: all closed a minor third under it."""
    sizes = instrument("shinobue").get(Sizes)
    assert sizes is not None
    size = next(item for item in sizes.carried if item.id == f"hon-{number}")
    assert size.lowest.cents == parse(lowest).cents


# --- music21 10.5, module instrument ---------------------------------------------------------------------------------------

LIBRARY = {
    "piccolo": "Piccolo",
    "oboe": "Oboe",
    "cor-anglais": "EnglishHorn",
    "clarinet-bass": "BassClarinet",
    "sax-soprano": "SopranoSaxophone",
    "sax-alto": "AltoSaxophone",
    "sax-tenor": "TenorSaxophone",
    "sax-baritone": "BaritoneSaxophone",
    "bassoon": "Bassoon",
    "contrabassoon": "Contrabassoon",
    "trombone-bass": "BassTrombone",
    "tuba": "Tuba",
}
LOWER = {
    "cor-anglais": "a written B flat 3 stands in some late romantic scores",
    "clarinet-bass": "the library knows the model to low E flat; orchestras ask for low C",
    "sax-baritone": "the library knows B flat 3; most instruments have the low A",
    "bassoon": "a longer bell gives A1",
    "contrabassoon": "an extension gives A0",
    "trombone-bass": "the library's B flat 1 is the pedal note of the open tube; both valves reach B flat 0",
    "tuba": "the library stops at D1; a four-valve tuba in B flat has C1",
}
COMFORTABLE = {"cor-anglais", "clarinet-bass", "bassoon", "contrabassoon"}


def usual(name: str) -> int:
    reading = instrument(name).get(facets.Reading)
    assert reading is not None
    return int(next(item for item in reading.conventions if item.usual).semitones)


@pytest.mark.parametrize("name", LIBRARY)
def test_transpositions_are_the_librarys(name: str) -> None:
    """Contrabassoon: the library forgets the octave, which every handbook gives."""
    interval = getattr(music21.instrument, LIBRARY[name])().transposition
    theirs = 0 if interval is None else interval.semitones
    assert usual(name) == (-12 if name == "contrabassoon" else theirs)


@pytest.mark.parametrize("name", LIBRARY)
def test_lowest_notes_are_the_librarys(name: str) -> None:
    """The library's lowest notes are written ones; where ours goes lower the reason stands in LOWER."""
    theirs = 100 * (getattr(music21.instrument, LIBRARY[name])().lowestNote.midi + usual(name))
    ours = compass(name)
    if name not in LOWER:
        assert ours.lowest.value.cents == theirs
        return
    assert ours.lowest.value.cents < theirs, LOWER[name]
    if name in COMFORTABLE:
        assert ours.comfortable_lowest is not None
        assert ours.comfortable_lowest.value.cents == theirs


# Written ranges of Orchestra Library (S135), as the research for the profiles read them: instrument, lowest, highest, written.
WRITTEN = [
    ("piccolo", "D4", "C7"),
    ("alto-flute", "C4", "C7"),
    ("cor-anglais", "B3", "G6"),
    ("clarinet-a", "E3", "C7"),
    ("clarinet-e-flat", "E3", "C7"),
    ("clarinet-bass", "C3", "G6"),
]


@pytest.mark.parametrize(("name", "low", "high"), WRITTEN)
def test_written_ranges_of_a_second_table(name: str, low: str, high: str) -> None:
    """The table lies inside our compass, and its lowest note is ours, or our comfortable one."""
    ours, shift = compass(name), 100 * usual(name)
    ends = {ours.lowest.value.cents, ours.comfortable_lowest.value.cents if ours.comfortable_lowest else 0}
    assert parse(low).cents + shift in ends
    assert parse(high).cents + shift <= ours.highest.value.cents


# --- headings --------------------------------------------------------------------------------------------------------------

HEADINGS = {
    "Clarinet": "clarinet-b-flat",
    "Klarinette": "clarinet-b-flat",
    "Clarinet in A": "clarinet-a",
    "Klarinette in Es": "clarinet-e-flat",
    "Bassklarinette in B": "clarinet-bass",
    "Trumpet in C": "trumpet-c",
    "Trompete in B": "trumpet-b-flat",
    "Flute": "flute",
    "Flauto in sol": "alto-flute",
    "Trombone": "trombone-tenor",
    "Bass Trombone": "trombone-bass",
    "Dizi in G": "bangdi",
    "Dizi in D": "dizi-qudi",
    "Low Whistle in D": "low-whistle",
    "中音笙": "sheng-alto",
    "笙 (雅楽)": "sho",
    "Mezzosopran": "voice-mezzo",
}


@pytest.mark.parametrize("heading", HEADINGS)
def test_a_bare_name_stays_with_the_usual_size(heading: str) -> None:
    """Common practice, no source: other sizes answer to their key or name only."""
    assert registry().names.find(heading).ids == (HEADINGS[heading],)


BARE = {
    "clarinet": ("clarinet-a", "clarinet-e-flat", "clarinet-bass"),
    "trumpet": ("trumpet-c",),
    "trombone": ("trombone-bass",),
    "flute": ("piccolo", "alto-flute", "irish-flute"),
    "dizi": ("bangdi", "dadi"),
    "sheng": ("sheng-soprano", "sheng-alto", "sheng-bass"),
    "whistle": ("low-whistle",),
}


@pytest.mark.parametrize(("word", "name"), [(word, name) for word, names in BARE.items() for name in names])
def test_no_other_size_claims_the_bare_name(word: str, name: str) -> None:
    entry = registry().offers[name].entry
    assert fold(word) not in {fold(text) for text in (entry.names["en"], *entry.aliases, *entry.abbreviations)}


@every_row
def test_every_name_finds_its_own_profile_or_asks(name: str) -> None:
    entry = registry().offers[name].entry
    for text in (entry.names["en"], *entry.aliases, *entry.abbreviations):
        assert name in registry().names.find(text).ids, text
