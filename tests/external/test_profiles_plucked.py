"""The profiles of plucked lutes and of stopped plucked strings, against values written down here from their sources.

Compass and open strings stand here a second time, by hand, with the source beside them; where a source gives letters only, the
octave is said to be ours. Each profile is then put to work: a line that such instruments play brings no halt, and the notes a
tone outside the compass are found. Octaves: middle C is C4. Open tunings again against mingus (general-purpose library).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import pytest

import xmlcheck
from xmlcheck import facets
from xmlcheck.finding import Certainty, Finding, Grade, PartInfo
from xmlcheck.partname import fold
from xmlcheck.pitch import parse
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry
from xmlcheck.testing import Part, score
from xmlcheck_strings.facets import Strings


@dataclass(frozen=True)
class Row:
    """What a source says. strings: open, side by side from the bass side. line: music of the kind, sounding, tiny notation."""

    lowest: str
    highest: str
    strings: str
    line: str
    source: str


SOUNDING = "<defaults><concert-score/></defaults>"
RUAN = (
    "P. Noll, Chinese musical instruments: tunings of five sizes; kotoba.ne.jp: 24 frets, so two octaves above the top string."
)
BALALAIKA = "Balalaika.dk and the dictionary of musical terms of 1969 (bg.wikipedia.org): "
MARGO = "R. Margo, Music notation for mandolin family instruments: "

ROWS = {
    "liuqin": Row("G3", "G7", "G3 D4 G4 D5", "G3.q D4 G4 D5 A5.h!tremolo=3 D6 'E6 D6.q [G4 D5] G5.h", "P. Noll: G D G D; Temasek"
                  " Chinese Orchestra: 29 frets, four octaves. Octaves ours, as for the gaoyinruan."),
    "zhongruan": Row("G2", "D6", "G2 D3 G3 D4", "G2.q D3 G3 D4 A4.e B4 D5 E5 [G2 D3 B3].h A5!tremolo=3", RUAN),
    "daruan": Row("C2", "A5", "D2 A2 D3 A3", "D2.q A2 D3 A3 D4.e E4 F#4 A4 [D2 A2 F#3].h E5", RUAN + " Lower: Northeastern"
                  " University, Ruan: daruan a fifth below the zhongruan, open strings C G D A."),
    "xiaoruan": Row("D3", "A6", "D3 A3 D4 A4", "D3.q A3 D4 A4 E5.e F#5 A5 B5 E6.h", RUAN),
    "gaoyinruan": Row("G3", "D7", "G3 D4 G4 D5", "G3.q D4 G4 D5 A5.e B5 D6 E6 A6.h", RUAN),
    "sanxian": Row("D2", "G6", "G2 D3 G3", "G2.q D3 G3 A3.e B3 D4 E4 G4.q!slide=start A4!slide=stop D5.h G5", "Northeastern"
                   " University, sanxian: D-A-d to G-d-g, an octave below the writing; lecture slides: G-d-g, three octaves."),
    "shamisen": Row("G2", "B5", "B2 E3 B3", "B2.q E3 F#3.e A3 B3.q C4.e E4 F#4 A4 B4.h", "Pro Musica Nipponia: string I from B to D"
                    " (thin neck), G to A (thick neck), staff with 8 below; edogiku: B E B. The upper end is ours."),
    "biwa": Row("E2", "A4", "A2 E2 A2 E3", "E2.q A2 E3 G3!bend=1 A3.h E3.q [E2 A2 E3].h!arpeggiate B3.q", "Kishi et al. 1996: A2 E2"
                " A2 E3. The upper end is ours."),
    "geomungo": Row("Bb1", "E5", "E2 A2 D2 B2 B2 B1", "B1.q D2 E2.e A2 B2.q D3 E3.h A3.q B2 E2.h", "Koizumi archive: E A D B B, B an"
                    " octave off; another source: Eb Ab C Bb Bb Bb. Octaves ours."),
    "guqin": Row("C2", "D6", "C2 D2 F2 G2 A2 C3 D3", "C2.h G2 D3.q F3 G3 A3 [C2 C3].h D4.q!harmonic A4!harmonic D5.h!harmonic",
                 "zgmzyq.cn: C to d3, four octaves and a tone; guqin tunings: C D F G A c d."),
    "dan-bau": Row("G2", "G6", "C3", "C4.q G4 A4 G4.h C5.q E5!bend=1 G5.h Bb5.q C6 G5.h", "Etnian: string on C, G to G; Tien Manh:"
                   " nodes C4 G4 C5 E5 G5 Bb5 C6; a fifth up by the rod reaches G6."),
    "baglama": Row("G2", "A5", "Bb3 F3 C4", "C4.q D4.e Eb4 F4 Eb4 D4 C4 Bb3.q F3 C4.h G4.e A4 Bb4 C5 D5.h", "Cem Music Center: long"
                   " neck Bb3+Bb2, F3, C4+C3, G2 in bağlama tuning; melodysaz.de: 24 frets. The upper end is ours."),
    "tar-persian": Row("C3", "C6", "C3 G3 C4", "C3.q G3 C4 D4.e E4-60c F4 G4 A4-60c.q G4.e F4 C5.h G5!tremolo=3", "Koizumi archive:"
                       " C G C, C3 to G5; Persian Luthiers: three octaves to order."),
    "setar-persian": Row("B2", "Ab5", "C3 G3 C4", "C3.q G3 C4 D4.e E4-60c F4 G4 C5.q D5 F5.h!tremolo=3", "K. Tabassian: B to A flat,"
                         " two octaves and a half; workshop notes: C, C, G, C."),
    "bouzouki-greek": Row("C3", "F6", "C3 F3 A3 D4", "D4.e E4 F4 G4 A4 Bb4 C#5 D5 F5.h!tremolo=3 [C3 A3 F4] D6", "h2g2: C F A D, basses"
                          " in octaves; McNeela: about 27 frets."),
    "bouzouki-irish": Row("G2", "D6", "G2 D3 A3 D4", "G2.e D3 A3 D4 E4 F#4 A4 B4 [G2 D3 B3 D4].h D5", "h2g2 and H. Speek: G D A D;"
                          " McNeela: about 24 frets."),
    "mandolin": Row("G3", "E7", "G3 D4 A4 E5", "G3.e B3 D4 E4 F#4 A4 B4 D5 E5!down-bow F#5!up-bow G5 A5 [G3 D4 B4 G5].q E6.h!tremolo=3",
                    MARGO + "G3 D4 A4 E5, treble clef as the violin. The upper end is ours."),
    "mandola": Row("C3", "F6", "C3 G3 D4 A4", "C3.e E3 G3 A3 B3 D4 E4 G4 A4 B4 C5 D5 G5.h!tremolo=3", MARGO + "C3 G3 D4 A4. The upper"
                   " end is ours."),
    "octave-mandolin": Row("G2", "C6", "G2 D3 A3 E4", "G2.e B2 D3 E3 F#3 A3 B3 D4 E4 F#4 G4 A4 D5.h!tremolo=3", "Encyclopaedia article:"
                           " G2 D3 A3 E4. The upper end is ours."),
    "mandocello": Row("C2", "F5", "C2 G2 D3 A3", "C2.e E2 G2 A2 B2 D3 E3 G3 A3 B3 C4 D4 G4.h!tremolo=3", "mingus: C2 G2 D3 A3. The upper"
                      " end is ours."),
    "balalaika-prima": Row("E4", "C7", "E4 E4 A4", "\"бряцание\" [E4 G4 C5].e [E4 G4 C5] [F4 A4 D5] [E4 A4 C#5] \"pizz.\" A4.q B4 E5"
                           " \"trem.\" A5.h!tremolo=3", BALALAIKA + "e1 e1 a1; womenszine.info: up to C of the fourth octave."),
    "balalaika-secunda": Row("A3", "D6", "A3 A3 D4", "[A3 C4 F4].e [A3 C4 F4] [A3 D4 F#4].q A4 D5 A5.h", BALALAIKA + "a a d1. The upper"
                             " end is ours."),
    "balalaika-alto": Row("E3", "A5", "E3 E3 A3", "[E3 G3 C4].e [E3 G3 C4] [E3 A3 C#4].q E4 A4 E5.h", BALALAIKA + "e e a. The upper end"
                          " is ours."),
    "balalaika-bass": Row("E2", "D5", "E2 A2 D3", "E2.q A2 D3 E3 G3 A3 D4.h", BALALAIKA + "E A d. The upper end is ours."),
    "balalaika-contrabass": Row("E1", "G3", "E1 A1 D2", "E1.q A1 D2 E2 G2 A2 D3.h", BALALAIKA + "E1 A1 D; Art-Contrast: from E of the"
                                " contra octave to G of the small one."),
    "balalaika-piccolo": Row("B4", "A7", "B4 E5 A5", "B4.e E5 A5 B5 C6 E6 A6.h", BALALAIKA + "B of the first octave, E and A of the"
                             " second. The upper end is ours."),
    "domra-prima": Row("E4", "D7", "E4 A4 D5", "E4.e F#4 G4 A4 B4 D5 E5 G5 [A4 D5].q A5.h!tremolo=3 D6", "Balalaika.dk: e1 a1 d2. The"
                       " upper end is ours."),
    "domra-alto": Row("E3", "D6", "E3 A3 D4", "E3.e F#3 G3 A3 B3 D4 E4 G4 A4.h!tremolo=3 D5", "Balalaika.dk: e a d1. The upper end is"
                      " ours."),
    "domra-bass": Row("E2", "D5", "E2 A2 D3", "E2.q A2 D3 E3 G3 A3 D4.h!tremolo=3", "Balalaika.dk: E A d. The upper end is ours."),
    "bandura": Row("G1", "G6", "", "C2.q G2 C3 [E3 G3 C4] E4.e F4 G4 A4 B4 C5 D5 E5 [C5 E5 G5].h C6", "Five octaves and 55 to 65 strings"
                   " (hancocksatkyiv.blogspot.com); both ends are ours."),
    "lute": Row("C2", "G5", "G2 C3 F3 A3 D4 G4", "G2.q [C3 G3 E4] [F3 A3 C4 F4] G4.e A4 Bb4 C5 D5.h F2.q D2 [G2 G3 B3 D4].h", "Lute.ru:"
                " G2 C3 F3 A3 D4 G4. Ten courses to C2 and the upper end are ours."),
    "sitar": Row("C2", "F#6", "C#5 C#4 G#3 C#2 G#2 C#3 F#3", "C#4.q D#4.e E#4 F#4.q!bend=1 G#4 A#4.e B#4 C#5.h F#3.q C#4 G#5!bend=2",
                 "JASA abstract: C#2 G#2 G#3 F#3 G#3 C#4 C#5, Sa at the seventh fret; musicalinstrumentsofindia.com: jod an octave"
                 " below Sa. Both ends are ours."),
    "sarod": Row("B2", "C6", "C5 C5 C4 C4 C3 G3 C4 F4", "C4.q D4 Eb4.e F4 G4.q!slide=start Ab4!slide=stop C5.h G3.q C3 F5", "Koizumi"
                 " archive: c' c' c g c' f', chikari c'' c'', three octaves from c; Sa on B (liquisearch.com): a semitone lower."),
    "ukulele": Row("G3", "A6", "G4 C4 E4 A4", "[G4 C4 E4 C5].q [A4 C4 F4] [G4 D4 F4 B4] [G4 C4 E4 C5].h A4.e C5 E5 A5", "music21: G4 C4 E4"
                   " A4; Pamela's Music: low G. The upper end is ours."),
    "banjo-5": Row("C3", "C6", "G4 D3 G3 B3 D4", "{x4 G3.s B3 G4 D4} [D3 G3 B3 D4].q G4.e A4 B4 D5.h", "Deering: double C with C3;"
                   " Guitar Trance: 22 frets, so C6 on D4; Banjo for Dummies: g D G B D."),
    "banjo-tenor": Row("G2", "E6", "C3 G3 D4 A4", "[C3 G3 E4 C5].q [C3 A3 F4 C5] C5.e D5 E5 G5 A5.h", "Folk Music Studio: C G D A, Irish"
                       " G D A E; Deering: 19 frets, so E6 on A4."),
    "charango": Row("E4", "A6", "G4 C5 E4 A4 E5", "[G4 C5 E4].q [A4 C5 E5] A4.e B4 C5 D5 E5 G5 A5 B5 E6.h", "liquisearch.com: G4, C5,"
                    " E5 with E4, A4, E5 in hertz. The upper end is ours."),
}  # fmt: skip

every_row = pytest.mark.parametrize("name", ROWS)

_RUAN = frozenset({"zhongruan", "daruan", "xiaoruan", "gaoyinruan"})
_BANJO = frozenset({"banjo-5", "banjo-tenor"})
_BOUZOUKI = frozenset({"bouzouki-greek", "bouzouki-irish"})
_MANDOLA = frozenset({"mandola", "octave-mandolin"})
SHARED = {
    **dict.fromkeys(("ruan", "ruans", "ruanqin", "阮", "阮琴", "жуань", "ルアン"), _RUAN),
    **dict.fromkeys(
        ("banjo", "banjos", "banyo", "μπάντζο", "банджо", "バンジョー", "班卓琴", "斑鸠琴", "밴조", "بانجو"), _BANJO
    ),
    **dict.fromkeys(("Bjo.", "Bj."), _BANJO),
    **dict.fromkeys(("bouzouki", "bouzoukis", "buzuki", "busuki", "бузуки", "ブズーキ"), _BOUZOUKI),
    **dict.fromkeys(("mandola", "mandolas", "Mandolen", "mandole", "мандола", "マンドラ", "曼陀拉", "만돌라"), _MANDOLA),
    **dict.fromkeys(("三弦", "三絃"), frozenset({"sanxian", "shamisen"})),
    "琵琶": frozenset({"biwa", "pipa"}),
}
"""Names that several instruments go by: recognition asks which is meant."""
_SHARED = {fold(name): ids for name, ids in SHARED.items()}


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


def open_strings(name: str) -> str:
    strings = instrument(name).get(Strings)
    return " ".join(course.pitch.name for course in strings.courses) if strings is not None else ""


def found(name: str, notes: str) -> list[Finding]:
    """All findings on these notes, headed by the instrument's own name, in a score at sounding pitch."""
    part = Part(f"tempo=72 <mf> {notes}", name=instrument(name).name)
    report = xmlcheck.check(score(part, header=SOUNDING))
    assert [item.instrument for item in report.parts] == [name]
    return list(report.findings)


# --- the values, beside their source ---------------------------------------------------------------------------------------


@every_row
def test_the_compass_is_the_sources(name: str) -> None:
    ours, row = compass(name), ROWS[name]
    assert (ours.lowest.value.name, ours.highest.value.name) == (row.lowest, row.highest), row.source


@every_row
def test_the_open_strings_are_the_sources(name: str) -> None:
    assert open_strings(name) == ROWS[name].strings, ROWS[name].source


@every_row
def test_no_value_of_ours_is_called_documented(name: str) -> None:
    """Ends that the row calls ours rest on no source, so they must not be able to stop a take."""
    text = ROWS[name].source
    both, upper = "both ends are ours" in text.lower(), "upper end" in text and "ours" in text
    sure = {Certainty.DOCUMENTED, Certainty.PLAYER}
    assert not (upper or both) or compass(name).highest.certainty not in sure
    assert not both or compass(name).lowest.certainty not in sure


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
    limit = compass(name).lowest if end == "below" else compass(name).highest
    outside = parse(ROWS[name].lowest if end == "below" else ROWS[name].highest).moved(
        *((-2, -1) if end == "below" else (2, 1))
    )
    hits = [item for item in found(name, f"{ROWS[name].line} {outside.name}.q") if item.rule == f"compass.{end}"]
    assert [item.count for item in hits] == [1]
    sure = limit.certainty in {Certainty.DOCUMENTED, Certainty.PLAYER}
    assert hits[0].grade is (Grade.HALT if sure else Grade.QUERY)


@every_row
def test_every_name_finds_its_own_profile_or_asks(name: str) -> None:
    entry = registry().offers[name].entry
    for text in (entry.names["en"], *entry.aliases, *entry.abbreviations):
        found = set(registry().names.find(text).ids)
        asks = name in found and len(found) > 1  # a name that its whole family shares
        assert found == _SHARED.get(fold(text), {name}) or asks, text


@every_row
def test_the_standards_sounds_lead_to_it_with_its_name(name: str) -> None:
    """A sound id may be shared within a family; with the printed name beside it only one instrument is left."""
    for sound in registry().offers[name].entry.sound_ids:
        assert name in registry().names.sound(sound)
        assert {item.instrument for item in _headed(instrument(name).name, sound)} == {name}


def _headed(title: str, sound: str) -> list[PartInfo]:
    return list(xmlcheck.check(score(Part("C4.w", name=title, sound=sound))).parts)


# --- mingus 0.6.1, module extra.tunings ------------------------------------------------------------------------------------

TUNINGS = [
    # profile, its tuning ("" the usual one), instrument and description of the library
    ("mandolin", "", "Mandolin", "Standard"),
    ("mandola", "", "Mandola", "Standard"),
    ("mandocello", "", "Mandocello", "Standard"),
    ("octave-mandolin", "", "Mandolin (Octave)", "Standard"),
    ("banjo-5", "", "Banjo (5-string)", "Open G"),
    ("banjo-tenor", "", "Banjo (tenor)", "Standard tenor jazz"),
    ("banjo-tenor", "irish", "Banjo (tenor)", "Irish tenor"),
    ("bouzouki-greek", "trichordo", "Greek Bouzouki", "Standard"),
    ("bouzouki-irish", "", "Irish bouzouki", "Irish tuning (unison"),
    ("bouzouki-irish", "gdae", "Irish bouzouki", '"Mandolin" tuning (unison'),
    ("bouzouki-irish", "adad", "Irish bouzouki", "Modal D tuning (unison"),
    ("charango", "", "Charango", "Standard"),
    ("ukulele", "", "Ukulele", "Standard C6"),
]
DIFFERENCES = {
    ("charango", ""): {1: "the library has the fourth course at C4; the hertz of our sources (523 Hz) say C5"},
}


@pytest.mark.parametrize(("name", "tuning", "theirs", "described"), TUNINGS)
def test_open_tunings_of_mingus(name: str, tuning: str, theirs: str, described: str) -> None:
    """Of a pair in octaves our profile names the string that the writing follows: it must be one of the library's two."""
    library = pytest.importorskip("mingus.extra.tunings")
    (found_there,) = [
        item for item in library.get_tunings(theirs) if item.instrument == theirs and item.description.startswith(described)
    ]
    courses = [
        {f"{note.name}{note.octave}" for note in (course if isinstance(course, list) else [course])}
        for course in found_there.tuning
    ]
    strings = instrument(name).get(Strings)
    assert strings is not None
    pitches = [course.pitch for course in strings.courses]
    if tuning:
        pitches = list(next(item for item in strings.tunings if item.id == tuning).pitches)
    assert len(pitches) == len(courses)
    differing = {n for n, (ours, there) in enumerate(zip(pitches, courses, strict=True)) if ours.name not in there}
    assert differing == set(DIFFERENCES.get((name, tuning), {}))
