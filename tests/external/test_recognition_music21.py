"""Recognition over every part name of the MusicXML files that music21 bundles, with the profiles that this project ships.

music21 10.5, https://www.music21.org/: its corpus (chorales, quartets, madrigals, songs) and notation examples. Only the header
of each file is read, by lxml. The labels below were written by hand, name by name: what instrument a player would take out of
the case, or "-" where the heading names none (a voice, a choir, a plain "Part 1", two instruments at once). A label may name an
instrument that has no profile: then no profile is right.
"""

from __future__ import annotations

import zipfile
from collections import Counter
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from lxml import etree

from tests.corpus_files import music21_files
from xmlcheck.identify import Match, Names, identify
from xmlcheck.model import Part, ScoreInstrument
from xmlcheck.registry import Registry, discover

LABELS = {  # instrument: the names that stand for it, white space folded
    "violin": "Violin|Violin 1|Violin 2|Violin I|Violin II|Violin I.|Violin II.|1st Violin|2nd Violin|Violino I.|Violino II.",
    "viola": "Viola|Viola.",
    "cello": "Cello|Violoncello|Violoncello.",
    "double-bass": "Contrabass",
    "clarinet-b-flat": "Bb Clarinet|Klarinette|Clarinet in Bb|Clarinet in Bb 1|Clarinet in Bb 2",
    "clarinet-a": "Clarinet in A",
    "clarinet-e-flat": "Clarinet in Eb",
    "clarinet-bass": "Bass Clarinet",
    "horn": "Horn 1|Horn 2|Horn 3|Horn in F|Horn in F 1|Horn in F 2",
    "horn-e-flat": "Horn in Eb",
    "trumpet-b-flat": "Trumpet in Bb",
    "trumpet-c": "Trumpet in C|Trumpet in C 1|Trumpet in C 2",
    "trumpet-d": "Trumpet in D",
    "piccolo-trumpet": "Piccolo Trumpet in A",
    "cornet": "Cornet 1|Cornet 2",
    "trombone-tenor": "Trombone 1|Trombone 2",
    "tuba": "Tuba",
    "flute": "Flutes|Flute 1|Flute 2",
    "piccolo": "Piccolo",
    "recorder": "Recorders|Recorder 1|Recorder 2|Recorder 3",
    "oboe": "Oboe|Oboe 1|Oboe 2|Oboe 3",
    "oboe-damore": "Oboe d'amore",
    "oboe-da-caccia": "Oboe da caccia",
    "cor-anglais": "English Horn",
    "bassoon": "Bassoon 1|Bassoon 2",
    "contrabassoon": "Contrabassoon",
    "timpani": "Timpani",
    "cowbell": "Cowbell",
    "cymbals": "Cymbals",
    "triangle": "Triangle",
    "drum-kit": "Drums",
    "percussion": "Percussion",
    "harp-pedal": "Harp",
    "guitar-classical": "Guitar",
    "bass-guitar": "Bass Guitar",
    "ukulele": "Ukulele",
    "lute": "Lute",
    "organ": "Organ",
    "piano": "Piano",
    "electric-piano": "Electric Piano",
    "voice-soprano": "Soprano|Soprano 1|Soprano 2|Soprano I|Soprano II|Canto|Cantus|Cantus 1|Cantus 2|Cantus I|Cantus II",
    "voice-alto": "Alto|Alto I|Alto II|Contralto",
    "voice-tenor": "Tenor|Tenore",
    "voice-baritone": "Baritone",
    "voice-bass": "Bass|Basso",
    # which of several instruments of the name, only the file's maker knows
    "?": "Trumpet 1|Trumpet 2|Trumpet 3|Trumpet 1,2|Banjo",
    # letters and words of old music that name no voice of ours: the file's sound id may, and is then a guess
    "~": "C|Ct|C1|C2|T|S.|B.|Cp|Cfirm|Tripl|Dupl|Contratenor|[Contratenor]|Solus tenor|Motetus|Triplum|Quinto",
    "-": "Voice|Solo Voice|Gesang|Womens Voices|Mens Voices|Continuo|Bass Continuo"
    "|Soprano Oboe 1,2 Violin1|Alto Viloin 2|Tenor Viola|Soprano Oboe 1 Violin1|Alto Oboe 2 Viloin 2|Violone e Organo"
    "|test|Long Staff Name|Part name|Staff \"Test\"|displayed c'=fis'''|Part 1|Part 2|Part 3|Part 4",
}
LABELS["-"] += "".join(f"|P{n}" for n in range(20))
NAMELESS = {  # instrument-name where the part has no name or a default one
    "Clarinet": "clarinet-b-flat",
    "Tenor Sax": "sax-tenor",
    "Trombone": "trombone-tenor",
    "Piano": "piano",
    "Grand Piano": "piano",
    "Acoustic Grand Piano": "piano",
}  # choirs, players of samples, nothing: "-"
BLANK = {"", "MusicXML Part"}
BY_NAME = {name: instrument for instrument, names in LABELS.items() for name in names.split("|")}

TRAPS = (  # headings next to a name that is known; common practice, no source
    "Contrabass Clarinet|Alto Clarinet|Klarinette in D|Tenor Horn|Basset Horn|Horn in D|Flugelhorn|Viola da gamba|Viola d'amore"
    "|Violin Synth|Electric Violin|Violone|Violino piccolo|Violoncello piccolo|B.D.|B.C.|Bass|Alto|Erhu (高胡)|Ney Synth|Oud Drone Pad"
    "|Toy Piano|Electric Piano|Prepared Timpani Track|Bass Drum|Snare|Marimba Loop|Piccolo Trumpet|Tenor Drum|Bass Recorder"
)


def names() -> Names:
    return installed().names


@cache
def installed() -> Registry:
    return discover()


def headers(path: Path) -> list[Part]:
    """The parts of a file by its part-list, without notes."""
    data = path.read_bytes()
    if path.suffix == ".mxl":
        with zipfile.ZipFile(path) as archive:
            member = next(
                name for name in archive.namelist() if name.endswith((".xml", ".musicxml")) and "META-INF" not in name
            )
            data = archive.read(member)
    _, part_list = next(etree.iterparse(BytesIO(data), tag="part-list", load_dtd=False, no_network=True))
    return [_part(item) for item in part_list.iter("score-part")]


def _part(item: etree._Element) -> Part:
    def shown(tag: str) -> str:
        found = item.find(tag)
        return "" if found is None else "".join(str(text) for text in found.itertext()).strip()

    programs = {midi.get("id"): int(midi.findtext("midi-program", "0")) for midi in item.iter("midi-instrument")}
    return Part(
        id=item.get("id", ""),
        name=item.findtext("part-name", ""),
        display_name=shown("part-name-display"),
        abbreviation=item.findtext("part-abbreviation", ""),
        instruments=tuple(
            ScoreInstrument(
                id=each.get("id", ""),
                name=each.findtext("instrument-name", ""),
                sound=each.findtext("instrument-sound", ""),
                program=programs.get(each.get("id")),
            )
            for each in item.iter("score-instrument")
        ),
    )


def label(part: Part) -> str:
    name = " ".join(part.name.split())
    if name in BLANK:
        return NAMELESS.get(part.instruments[0].name if part.instruments else "", "-")
    return BY_NAME[name]  # a KeyError names what is not labelled yet


def test_no_part_of_music21_is_taken_for_another_instrument(capsys: pytest.CaptureFixture[str]) -> None:
    results: Counter[tuple[str, str, Match]] = Counter()
    for path in music21_files():
        parts = headers(path)
        for part in parts:
            match = identify(part, None, names(), score=parts)
            results[" ".join(part.name.split()), label(part), match] += 1

    right = Counter[str]()
    wrong, missed, torn = [], [], 0
    for (name, truth, match), count in results.items():
        if match.profile is None:
            if truth in names().entries and not match.evidence.endswith("disagree"):
                missed.append((name, truth, match.evidence, count))
            torn += count * match.evidence.endswith("disagree")
        elif match.profile == truth or (truth == "~" and match.certainty == "guess" and match.profile.startswith("voice-")):
            right[match.certainty] += count
        else:
            wrong.append((name, truth, match.profile, match.evidence, count))
    found, lost, bad = right.total(), sum(item[-1] for item in missed), sum(item[-1] for item in wrong)
    different = len({name for name, _, _ in results})
    rates = f"precision {found / (found + bad):.4f}, recall {found / (found + lost):.4f}"
    with capsys.disabled():
        print(
            f"\nmusic21: {results.total()} parts, {different} names; {dict(right)} right, {bad} wrong, {lost} missed, "
            f"{torn} whose name and sound id disagree; {rates}"
        )
    assert results.total() > 2800
    assert wrong == []
    assert missed == []
    assert torn < 60


@pytest.mark.parametrize("heading", TRAPS.split("|"))
def test_neighbours_of_known_names_are_not_taken_for_them(heading: str) -> None:
    match = identify(Part("P1", heading), None, names())
    assert match.profile is None, match
