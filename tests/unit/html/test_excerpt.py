"""Excerpts read alone as they read in their place: an independent reader (music21) finds the same notes, clef, key and meter.

Source of what must be carried in: MusicXML 4.0, element attributes ("the attributes element contains musical information that
typically changes on measure boundaries": it holds until it is changed), clef (number: "the default is staff 1").
"""

from __future__ import annotations

import warnings
from functools import cache
from pathlib import Path
from typing import Any

import music21
import pytest
from lxml import etree

from xmlcheck.document import Document, parse
from xmlcheck.excerpt import LONGEST, Excerpts
from xmlcheck.source import from_bytes, read_source

CORPUS = Path(__file__).parents[3] / "corpus"
SCORES = (
    "demo/the-crossing.musicxml",
    "exports/divisions-change-mid-part.musicxml",
    "exports/double-bass-chromatic-minus-12.musicxml",
    "exports/flute-piccolo-instrument-change.musicxml",
    "exports/repeats-first-second-endings.musicxml",
    "exports/sequencer-habits.musicxml",
    "exports/utf16-be-bom.musicxml",
)


@cache
def document(name: str) -> Document:
    return parse(read_source(CORPUS / name))


@cache
def by_music21(name: str) -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        data = document(name).source.data.decode(document(name).source.encoding).removeprefix("\ufeff")
        return music21.converter.parseData(data, format="musicxml")


def read_by_music21(data: bytes) -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return music21.converter.parseData(data.decode(), format="musicxml")


def heard(measure: Any) -> list[tuple[float, float, tuple[str, ...]]]:
    return [
        (
            float(item.getOffsetInHierarchy(measure)),
            float(item.quarterLength),
            tuple(pitch.nameWithOctave for pitch in item.pitches),
        )
        for item in measure.recurse().notesAndRests
    ]


def in_force(measure: Any) -> tuple[Any, ...]:
    first = next(iter(measure.recurse().notesAndRests))
    clef, key, meter = (first.getContextByClass(name) for name in ("Clef", "KeySignature", "TimeSignature"))
    return (clef.sign, clef.line, clef.octaveChange), key.sharps if key else None, meter.ratioString if meter else None


@pytest.mark.parametrize("name", SCORES)
def test_an_independent_reader_finds_the_same_music_in_an_excerpt_as_in_its_place(name: str) -> None:
    excerpts, whole = Excerpts(document(name)), by_music21(name)
    single = [part for part in whole.parts if "PartStaff" not in part.classes]  # parts of two staves are split there
    parts = {part.getInstrument(returnDefault=True).partId: part for part in single}
    assert set(parts) <= set(excerpts.parts)
    assert parts
    compared = 0
    for id, part in parts.items():
        measures = list(part.getElementsByClass("Measure"))
        assert len(measures) == len(excerpts.bars(id))
        for index in range(0, len(measures), 3):
            excerpt = excerpts.make(id, index, index + 1)
            assert excerpt is not None
            held = read_by_music21(excerpt.data)  # music21 refers to what contains what weakly: the score has to be kept
            alone = list(held.parts[0].getElementsByClass("Measure"))
            for there, here in zip(measures[index : index + 2], alone, strict=True):
                assert heard(here) == heard(there), f"{id}, bar {index}"
                assert in_force(here) == in_force(there), f"{id}, bar {index}"
                compared += 1
    assert compared >= 4


def test_a_timewise_score_gives_the_excerpts_of_the_same_score_partwise() -> None:
    """MusicXML 4.0: the two roots hold the same music, parts and measures changing places."""
    timewise = document("exports/timewise.musicxml").root
    partwise = etree.Element("score-partwise")
    ids = [part.get("id", "") for part in timewise.iterfind("part-list/score-part")]
    for id in ids:
        part = etree.SubElement(partwise, "part", id=id)
        for measure in timewise.iterfind("measure"):
            bar = etree.SubElement(part, "measure", number=measure.get("number", ""))
            there = measure.find(f"part[@id='{id}']")
            assert there is not None
            bar.extend(etree.fromstring(etree.tostring(there)))
    turned = Excerpts(parse(from_bytes(etree.tostring(partwise), "turned")))
    excerpts = Excerpts(document("exports/timewise.musicxml"))
    assert excerpts.parts == turned.parts == tuple(ids)
    for id in ids:
        assert excerpts.bars(id) == turned.bars(id)
        for index in range(len(turned.bars(id))):
            mine, other = excerpts.make(id, index, index + 1), turned.make(id, index, index + 1)
            assert mine is not None
            assert other is not None
            assert bare(mine.data) == bare(other.data)


def bare(data: bytes) -> list[tuple[object, ...]]:
    return [(item.tag, (item.text or "").strip(), item.get("number")) for item in etree.fromstring(data).iter()]


def test_transposition_in_force_is_told_in_semitones() -> None:
    # MusicXML 4.0, transpose: chromatic is "the number of semitones needed to get from written to sounding pitch".
    excerpts = Excerpts(document("demo/the-crossing.musicxml"))
    horn, violin = excerpts.make("P3", 30), excerpts.make("P9", 30)
    assert horn is not None
    assert violin is not None
    assert horn.semitones == -7  # a horn in F sounds a fifth lower than written
    assert b"<chromatic>-7</chromatic>" in horn.data
    assert violin.semitones == 0


def test_both_clefs_of_a_part_of_two_staves_are_carried_in() -> None:
    excerpt = Excerpts(document("demo/the-crossing.musicxml")).make("P7", 20)
    assert excerpt is not None
    attributes = etree.fromstring(excerpt.data).find("part/measure/attributes")
    assert attributes is not None
    assert [(clef.get("number"), clef.findtext("sign")) for clef in attributes.iterfind("clef")] == [("1", "G"), ("2", "F")]
    assert attributes.findtext("staves") == "2"


def test_ids_are_the_anchors_of_the_document() -> None:
    source = document("demo/the-crossing.musicxml")
    excerpts = Excerpts(source)
    excerpt = excerpts.make("P1", 9)
    assert excerpt is not None
    by_id = {f"a{number}": element for element, number in source.anchors().items()}
    alone = {note.get("id"): note for note in etree.fromstring(excerpt.data).iter("note")}
    assert set(alone) == excerpt.ids
    for id, note in alone.items():
        assert note.findtext("pitch/step") == by_id[str(id)].findtext("pitch/step")
        assert note.findtext("duration") == by_id[str(id)].findtext("duration")
        assert excerpts.measure("P1", int(str(id)[1:])) == 9


def test_length_is_bounded_and_bars_that_are_not_there_give_none() -> None:
    excerpts = Excerpts(document("demo/the-crossing.musicxml"))
    long = excerpts.make("P1", 0, 39)
    assert long is not None
    assert len(long.bars) == LONGEST
    assert excerpts.make("P1", 40) is None
    assert excerpts.make("P1", -1) is None
    assert excerpts.make("no such part", 0) is None


MADE = b"""<?xml version="1.0"?>
<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>X</part-name></score-part></part-list><part id="P1">
<measure number="1"><attributes><divisions>1</divisions><staves>2</staves><clef><sign>G</sign><line>2</line></clef>
<clef number="2"><sign>F</sign><line>4</line></clef></attributes>
<direction><direction-type><octave-shift type="down" size="8" number="1"/></direction-type><staff>1</staff></direction>
<note id="mine"><!-- kept out --><pitch><step>C</step><octave>6</octave></pitch><duration>1</duration><staff>1</staff></note>
<attributes><clef><sign>C</sign><line>3</line></clef></attributes></measure>
<measure number="2"><attributes><key><fifths>2</fifths></key></attributes>
<note><?xmlcheck x?><pitch><step>D</step><octave>6</octave></pitch><duration>1</duration><staff>1</staff></note></measure>
<measure number="3"><direction><direction-type><octave-shift type="stop" number="1"/></direction-type></direction>
<note><pitch><step>E</step><octave>5</octave></pitch><duration>1</duration></note></measure>
<measure number="4"><note><pitch><step>E</step><octave>5</octave></pitch><duration>1</duration></note></measure>
</part></score-partwise>"""


def test_a_clef_without_a_number_is_that_of_staff_1_and_octave_lines_are_carried_in() -> None:
    excerpts = Excerpts(parse(from_bytes(MADE, "made")))
    second, fourth = excerpts.make("P1", 1), excerpts.make("P1", 3)
    assert second is not None
    assert fourth is not None
    bar = etree.fromstring(second.data).find("part/measure")
    assert bar is not None
    attributes = bar.findall("attributes")
    assert len(attributes) == 1, "the bar's own attributes are merged with those in force"
    assert [clef.findtext("sign") for clef in attributes[0].iterfind("clef")] == ["C", "F"]
    assert attributes[0].findtext("key/fifths") == "2"
    shift = bar.find("direction/direction-type/octave-shift")
    assert shift is not None
    assert (shift.get("type"), bar.findtext("direction/staff")) == ("down", "1")
    assert b"octave-shift" not in fourth.data
    assert b"mine" not in second.data
    assert b"kept out" not in second.data
    assert b"<?xmlcheck" not in second.data


def test_a_direction_speaks_of_the_first_note_after_it() -> None:
    source = parse(from_bytes(MADE, "made"))
    anchors = source.anchors()
    direction = next(element for element in anchors if element.tag == "direction")
    note = next(element for element in anchors if element.tag == "note")
    excerpts = Excerpts(source)
    assert excerpts.following("P1", anchors[direction]) == f"a{anchors[note]}"
    assert excerpts.following("P1", 10**6) is None
