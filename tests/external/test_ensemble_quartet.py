"""The rules of players among each other on published quartets: silent as they stand, and one bent unison found where it is.

The scores are those that music21 10.5 bundles (https://www.music21.org/). In Mozart's quartet K. 458, first movement, both violins
go in octaves in bar 65; there the second violin is written a quarter-tone, a comma, or too little to be heard above the first.
"""

from __future__ import annotations

import zipfile
from functools import cache

import pytest
from lxml import etree

from tests.corpus_files import music21_files
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Finding, Grade
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes, read_source

COMPOSERS = ("haydn", "mozart", "beethoven")


@cache
def registry() -> Registry:
    return discover()


def of_ensemble(findings: tuple[Finding, ...]) -> list[Finding]:
    return [item for item in findings if item.rule.startswith("ensemble.")]


@pytest.mark.long
def test_published_quartets_give_rise_to_no_question_between_the_players() -> None:
    files = [path for path in music21_files() if any(name in path.parts for name in COMPOSERS)]
    assert len(files) > 40
    told = {path.name: of_ensemble(check_source(read_source(path), registry(), Config()).findings) for path in files}
    assert {name: found for name, found in told.items() if found} == {}


BAR, FIRST, SECOND = 64, "P1", "P2"


@cache
def movement() -> bytes:
    path = next(path for path in music21_files() if path.parts[-2:] == ("k458", "movement1.mxl"))
    with zipfile.ZipFile(path) as archive:
        name = next(name for name in archive.namelist() if name.endswith(".xml") and "META-INF" not in name)
        return archive.read(name)


def bent(signs: dict[str, str], semitones: dict[str, float]) -> bytes:
    """The movement with the notes of the bar raised in some parts, and the sign that says so."""
    root = etree.fromstring(movement())
    for part, amount in semitones.items():
        for note in root.findall(f"part[@id='{part}']/measure")[BAR].iter("note"):
            pitch = note.find("pitch")
            if pitch is None:
                continue
            alter = pitch.find("alter")
            if alter is None:
                alter = etree.Element("alter")
                pitch.insert(1, alter)
            alter.text = f"{float(alter.text or 0) + amount:g}"
            for old in note.findall("accidental"):
                note.remove(old)
            if part in signs:
                sign = etree.Element("accidental")
                sign.text = signs[part]
                [*note.findall("type"), *note.findall("dot")][-1].addnext(sign)  # the standard's order within a note
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8")


def asked(data: bytes, **given: str) -> list[Finding]:
    source = from_bytes(data, "quartet.musicxml")
    return of_ensemble(check_source(source, registry(), Config(), given=given).findings)


@pytest.mark.parametrize(("semitones", "cents"), [(0.5, 50), (0.22, 22), (0.05, None)])
def test_a_bent_unison_is_found_in_its_bar_and_nowhere_else(semitones: float, cents: int | None) -> None:
    found = asked(bent({}, {SECOND: semitones}))
    told = [(item.rule, item.place.measure_index, item.grade, item.values["cents"]) for item in found]
    assert told == ([("ensemble.microtones", BAR, Grade.QUERY, cents)] if cents else [])


def test_signs_of_two_systems_on_one_line_are_asked() -> None:
    both = {FIRST: 0.5, SECOND: 0.5}
    found = asked(bent({FIRST: "quarter-sharp", SECOND: "slash-quarter-sharp"}, both))
    assert [(item.rule, item.place.measure_index) for item in found] == [("ensemble.accidentals", BAR)]
    assert asked(bent(dict.fromkeys(both, "quarter-sharp"), both)) == []


def test_an_instrument_of_fixed_pitch_in_the_quartet_is_asked_for() -> None:
    """A mouth organ at the pitch of gagaku, 430 Hz, in a session that nobody has given a pitch."""
    found = asked(movement(), P3="sho")
    assert [(item.rule, item.part, item.values["hz"]) for item in found] == [("ensemble.pitch-standard", "P3", "430")]
    assert asked(movement()) == []
