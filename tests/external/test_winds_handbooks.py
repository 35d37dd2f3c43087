"""What handbooks and players' guides call playable is not stopped, and what they say does not work is found.

The passages are ours, written after the texts named beside them; nothing is copied from a score.
"""

from __future__ import annotations

import pytest

from tests.external.winds_planted import registry
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Report
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini

OURS = ("breath", "size", "finger", "register", "tongue", "brass", "reeds", "voice", "ahenk", "drone", "compass", "polyphony")


def report(heading: str, instrument: str, notes: str) -> Report:
    data = mini.score([mini.Part(notes, heading)])
    return check_source(from_bytes(data, "excerpt"), registry(), Config(), given={"P1": instrument})


def told(found: Report) -> list[str]:
    """Findings of grade query and above by the rules on playing; those on the file's form are tested elsewhere.

    compass.uncomfortable speaks of notes that are playable.
    """
    asked = [f.rule for f in found.findings if f.grade.value != "tidy" and f.rule.split(".")[0] in OURS]
    return [rule for rule in asked if rule != "compass.uncomfortable"]


PLAYABLE = [
    # Trombone glissando, sheet for composers, scribd.com no. 294550840, and trombone glissando guide (S151): within one partial.
    ("Trombone", "trombone-tenor", "clef=bass tempo=60 <mf> E2.h!slide=start Bb2!slide=stop | r.h B2!slide=start | F3.w!slide=stop"),
    ("Trombone", "trombone-tenor", "clef=bass tempo=60 <mf> Bb3.h!slide=start E3!slide=stop | r.h Ab3!slide=start | D4.w!slide=stop"),
    # The Modern Trumpet, Mutes, part one: three to four seconds to put a mute in.
    ("Trumpet", "trumpet-b-flat", 'transpose=-2/-1 tempo=60 <mf> C5.w | R | "con sord." G4.w | R | "senza sord." C5.w'),
    # TrumpetMaster threads (S174): sixteenths at 96 to 136 single-tongued, at 200 double-tongued.
    ("Trumpet", "trumpet-b-flat", "transpose=-2/-1 tempo=132 <mf> {x16 G4.s} | G4.w"),
    ("Trumpet", "trumpet-b-flat", "transpose=-2/-1 tempo=196 <mf> {x16 G4.s} | G4.w"),
    # qeeebo.com (S312): most comfortable from written C4 to C6; four bars without a breath at most.
    ("Trumpet", "trumpet-b-flat", "transpose=-2/-1 tempo=100 <mf> C4.q E4 G4 C5 | E5 G5 E5 C5 | D5 F5 D5 B4 | C5.h. r.q"),
    # Fobes 2000 (S172): sixteenths at 144 to 152 are out of reach; below, players single-tongue.
    ("Clarinet in B♭", "clarinet-b-flat", "transpose=-2/-1 tempo=132 <mf> {x16 G5.s} | G5.w"),
    # Orchestration Online, Horn middle register (S319): sounding C3 to C4 for soft and delicate scoring.
    ("Horn in F", "horn", "transpose=-7/-4 tempo=72 <pp> G3.h C4 | E4 G4 | F4 D4 | C4.h r"),
    # Horn Matters 2008 (S318): a couple of beats for a mute; stopped notes up to about mf.
    ("Horn in F", "horn", 'transpose=-7/-4 tempo=72 <mf> G4.h r | "con sord." C4.h r | "senza sord." E4.h r'),
    # Horn Matters, Transposition tricks: bass clef in old notation, an octave lower on the page.
    ("Horn in F", "horn", "clef=bass tempo=72 transpose=-7/-4 <mf> G2.h C3 | E3 G3 | C3.w"),
    # Penny whistle, tag page (S72): sharps of D and of G; C natural by a plain fork.
    ("Tin Whistle in D", "tin-whistle", "transpose=0/0/1 tempo=112 <mf> G4.s A4 B4 C5 D5 E5 F#5 G5 A5.h | D5.s C5 B4 A4 G4 A4 B4 C5 D5.h"),
    # shakuhachizen.com, A guide for composers (P4): glissando between neighbouring pitches; the head lowers by a tone.
    ("Shakuhachi 1.8", "shakuhachi", "tempo=60 <mf> D4.h!slide=start F4!slide=stop | G4.q A4 C5.h | D5.h r"),
    # Shakuhachi-Garden (S67): D F G A C are the open holes.
    ("Shakuhachi 1.8", "shakuhachi", "tempo=96 <mf> D4.e F4 G4 A4 C5 D5 C5 A4 | G4.q F4 D4.h | D5.e F5 G5 A5 C6.q A5 | G5.h r"),
    # Vancouver Inter-Cultural Orchestra (S40): the home key and those a fourth and fifth away.
    ("Dizi in D", "dizi-qudi", "transpose=0/0/1 tempo=120 <mf> D4.s E4 F#4 G4 A4 B4 C#5 D5 E5.h | G4.s A4 B4 C5 D5 E5 D5 B4 G4.h"),
    # Jocelyn Tan, Sheng (S55): chords of fifths, fourths and octaves; it sounds breathing in and out.
    ("Sheng", "sheng-17", "tempo=60 <mf> [D5 A5].w | [E5 B5].w | [D5 A5 D6].w~ | [D5 A5 D6].w~ | [D5 A5 D6].w~ | [D5 A5 D6].w"),
    # F. Pavlik, Suona (S49): in D, A4 to B6; the chart of the Singapore Chinese Orchestra: slurred at the top.
    ("Suona in D", "suona", "tempo=96 key=2 <f> A4.q D5 F#5 A5 | D6.h E6 | D5.h r"),
    # ORA Singers, Voice types: a C6 for a moment at the climax; comfortable from C4 to A5.
    ("Solo Soprano", "voice-soprano", "tempo=72 <f> G5.q!lyric=shine A5!lyric=on C6!lyric=high r | A5.q G5 E5 C5 | C4.h E4.q r"),
    # Turkish Music Portal (S16): all comma inflections, slides.
    ("Mansur Ney", "ney-turkish", "tempo=66 <mf> A4.e B4-23c C5 D5 E5.h | D5.q C5 B4-23c A4 | A4.h!slide=start C5!slide=stop | D5.h r"),
]  # fmt: skip

UNPLAYABLE = [
    # M. Clayville, The trombone glissando: B1 to F2 crosses between two partials, and low B is not on a tenor trombone.
    ("Trombone", "trombone-tenor", "clef=bass tempo=60 <f> B1.h!slide=start F2!slide=stop", {"brass.partial"}),
    # The same sheet: start and end in different partials.
    ("Trombone", "trombone-tenor", "clef=bass tempo=60 <f> G2.h!slide=start Eb3!slide=stop", {"brass.glissando"}),
    # M. Clayville, Trombone mutes: no time left to put in or take out a mute.
    ("Trombone", "trombone-tenor", 'clef=bass tempo=100 <mf> F3.q Bb3 "con sord." D4 F3 | "senza sord." Bb3.w', {"brass.mute-time"}),
    # Fobes 2000 (S172): sixteenths at 152, single-tongued.
    ("Clarinet in B♭", "clarinet-b-flat", "transpose=-2/-1 tempo=152 <mf> {x16 G5.s} | G5.w", {"tongue.fast"}),
    # Riley Lee (S66): F6 is missing on five holes.
    ("Shakuhachi 1.8", "shakuhachi", "tempo=60 <mf> D6.h F6 | D6.h r", {"finger.missing"}),
    # shakuhachizen.com (P4): any scale, but not too fast where holes are partly covered.
    ("Shakuhachi 1.8", "shakuhachi", "tempo=120 <mf> {x2 D5.s Eb5 E5 F#5 Ab5 B5 Ab5 F#5} | D5.w", {"finger.fast"}),
    # Singapore Chinese Orchestra chart (S17): the top four semitones of a suona are not tongued.
    ("Suona in D", "suona", "tempo=96 <f> D6.q B6!staccato A6!staccato D6", {"tongue.register"}),
    # The same: the semitone above the lowest note of a dizi is very muffled.
    ("Dizi in D", "dizi-qudi", "transpose=0/0/1 tempo=96 <ff> Bb3.w | D4.h r", {"register.dynamics"}),
    # Penny whistle, tag page (S72): notes out of the home key need half-holing, which is not reliable at speed.
    ("Tin Whistle in D", "tin-whistle", "transpose=0/0/1 tempo=120 <mf> D4.s Eb4 F4 G#4 Bb4 G#4 F4 Eb4 D4.h", {"finger.fast"}),
    # Pat Missin, Sheng (S54): a set in D has no C6.
    ("Sheng", "sheng-17", "tempo=96 <mf> D5.h C6 | A5.w", {"reeds.pitch"}),
    # Horn Matters 2008 (S318): stopped notes never project above about mf.
    ("Horn in F", "horn", 'transpose=-7/-4 tempo=72 "gestopft" <ff> C5.h E5 | "offen" C5.w', {"brass.mute-loud"}),
    # Johnstone 1917 (S295): each instrument of the wind gives one tone at a time, like the voice.
    ("Solo Flute", "flute", "tempo=72 <mf> [C5 E5].h G5 | C5.w", {"polyphony.too-many"}),
    ("Solo Soprano", "voice-soprano", "tempo=72 <mf> [C5 E5].h G5 | C5.w", {"polyphony.too-many"}),
]  # fmt: skip


@pytest.mark.parametrize(("heading", "instrument", "notes"), PLAYABLE)
def test_what_is_called_playable_is_let_pass(heading: str, instrument: str, notes: str) -> None:
    found = report(heading, instrument, notes)
    assert told(found) == []
    assert [f for f in found.findings if f.grade.value == "halt"] == []


@pytest.mark.parametrize(("heading", "instrument", "notes", "rules"), UNPLAYABLE)
def test_what_does_not_work_is_found(heading: str, instrument: str, notes: str, rules: set[str]) -> None:
    assert rules <= set(told(report(heading, instrument, notes)))
