"""Recognition over every part name of the MusicXML files that music21 bundles, with the profiles that this project ships.

music21 10.5, https://www.music21.org/: its corpus (chorales, quartets, madrigals, songs) and notation examples. Only the header
of each file is read, by lxml. The labels below were written by hand, name by name: what instrument a player would take out of
the case, or "-" where the heading names none (a voice, a choir, a plain "Part 1", two instruments at once). A label may name an
instrument that has no profile: then no profile is right.
"""

from __future__ import annotations

import tomllib
import zipfile
from collections import Counter
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from lxml import etree

from tests.corpus_files import music21_files
from xmlcheck.identify import Entry, Match, Names, identify
from xmlcheck.model import Part, ScoreInstrument

PLUGINS = Path(__file__).parents[2] / "plugins"

LABELS = {  # instrument: the names that stand for it, white space folded
    "violin": "Violin|Violin 1|Violin 2|Violin I|Violin II|Violin I.|Violin II.|1st Violin|2nd Violin|Violino I.|Violino II.",
    "viola": "Viola|Viola.",
    "cello": "Cello|Violoncello|Violoncello.",
    "double-bass": "Contrabass",
    "clarinet-b-flat": "Bb Clarinet|Klarinette|Clarinet in Bb|Clarinet in Bb 1|Clarinet in Bb 2",
    "clarinet-a": "Clarinet in A",
    "clarinet-e-flat": "Clarinet in Eb",
    "bass-clarinet": "Bass Clarinet",
    "horn": "Horn 1|Horn 2|Horn 3|Horn in F|Horn in F 1|Horn in F 2",
    "horn-e-flat": "Horn in Eb",
    "trumpet": "Trumpet 1|Trumpet 2|Trumpet 3|Trumpet 1,2|Trumpet in Bb|Trumpet in C|Trumpet in C 1|Trumpet in C 2|Trumpet in D",
    "piccolo-trumpet": "Piccolo Trumpet in A",
    "cornet": "Cornet 1|Cornet 2",
    "trombone": "Trombone 1|Trombone 2",
    "tuba": "Tuba",
    "flute": "Flutes|Flute 1|Flute 2",
    "piccolo": "Piccolo",
    "recorder": "Recorders|Recorder 1|Recorder 2|Recorder 3",
    "oboe": "Oboe|Oboe 1|Oboe 2|Oboe 3",
    "oboe-damore": "Oboe d'amore",
    "oboe-da-caccia": "Oboe da caccia",
    "english-horn": "English Horn",
    "bassoon": "Bassoon 1|Bassoon 2",
    "contrabassoon": "Contrabassoon",
    "timpani": "Timpani",
    "cowbell": "Cowbell",
    "cymbals": "Cymbals",
    "triangle": "Triangle",
    "harp": "Harp",
    "guitar": "Guitar",
    "bass-guitar": "Bass Guitar",
    "banjo": "Banjo",
    "ukulele": "Ukulele",
    "lute": "Lute",
    "organ": "Organ",
    "piano": "Piano",
    "electric-piano": "Electric Piano",
    "-": "Soprano|Alto|Tenor|Bass|Soprano 1|Soprano 2|Soprano I|Soprano II|Alto I|Alto II|Contralto|Baritone|Tenore|Basso|Canto|Quinto"
    "|Voice|Solo Voice|Gesang|Womens Voices|Mens Voices|Cantus|Cantus 1|Cantus 2|Cantus I|Cantus II|Contratenor|[Contratenor]"
    "|Solus tenor|Motetus|Triplum|C|Ct|C1|C2|T|S.|B.|Cp|Cfirm|Tripl|Dupl|Continuo|Bass Continuo|Drums|Percussion"
    "|Soprano Oboe 1,2 Violin1|Alto Viloin 2|Tenor Viola|Soprano Oboe 1 Violin1|Alto Oboe 2 Viloin 2|Violone e Organo"
    "|test|Long Staff Name|Part name|Staff \"Test\"|displayed c'=fis'''|Part 1|Part 2|Part 3|Part 4",
}
LABELS["-"] += "".join(f"|P{n}" for n in range(20))
NAMELESS = {  # instrument-name where the part has no name or a default one
    "Clarinet": "clarinet-b-flat",
    "Tenor Sax": "saxophone",
    "Trombone": "trombone",
}  # pianos, choirs, players of samples, nothing: "-"
BLANK = {"", "MusicXML Part"}
BY_NAME = {name: instrument for instrument, names in LABELS.items() for name in names.split("|")}

TRAPS = (  # headings next to a name that is known; common practice, no source
    "Bass Clarinet|B. Cl.|Contrabass Clarinet|Alto Clarinet|Clarinet in A|Klarinette in D|English Horn|E.H.|Tenor Horn|Basset Horn"
    "|Horn in D|Flugelhorn|Corno inglese|Viola da gamba|Viola d'amore|Violin Synth|Electric Violin|Violone|Violino piccolo"
    "|Violoncello piccolo|B.D.|B.C.|Bass|Alto|Bass koto|17-string koto|十七絃|Pedal Harp|Erhu (高胡)|Ney Synth|Oud Drone Pad"
)


@cache
def names() -> Names:
    tables = [tomllib.loads(path.read_text("utf-8")) for path in sorted(PLUGINS.glob("*/profiles/*.toml"))]
    lists = ("aliases", "abbreviations", "sound_ids", "programs", "key_names")
    return Names(
        Entry(
            id=table["id"],
            plugin="",
            names=table.get("names", {}),
            family=table.get("family", ""),
            **{key: tuple(table.get(key, ())) for key in lists},
        )
        for table in tables
        if not table.get("abstract")
    )


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
        for part in headers(path):
            match = identify(part, None, names())
            results[" ".join(part.name.split()), label(part), match] += 1

    right = Counter[str]()
    wrong, missed = [], []
    for (name, truth, match), count in results.items():
        if match.profile is None:
            if truth in names().entries:
                missed.append((name, truth, match.evidence, count))
        elif match.profile == truth:
            right[match.certainty] += count
        else:
            wrong.append((name, truth, match.profile, match.evidence, count))
    found, lost, bad = right.total(), sum(item[-1] for item in missed), sum(item[-1] for item in wrong)
    different = len({name for name, _, _ in results})
    rates = f"precision {found / (found + bad):.4f}, recall {found / (found + lost):.4f}"
    with capsys.disabled():
        print(
            f"\nmusic21: {results.total()} parts, {different} names; {dict(right)} right, {bad} wrong, {lost} missed; {rates}"
        )
    assert results.total() > 2800
    assert wrong == []
    assert missed == []


@pytest.mark.parametrize("heading", TRAPS.split("|"))
def test_neighbours_of_known_names_are_not_taken_for_them(heading: str) -> None:
    match = identify(Part("P1", heading), None, names())
    assert match.profile is None, match
