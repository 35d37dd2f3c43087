"""The writer writes what it says: valid MusicXML by the W3C schema (test-only package musicxml), in any dress the same document."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from lxml import etree

from tests.corpus_files import musicxml_schema
from tests.fuzz.dress import dressed
from tests.fuzz.pen import Pen
from tests.fuzz.scores import TAME, score
from tests.fuzz.strategies import trees
from xmlcheck.source import from_bytes

READ = {
    "note": "rest cue chord grace unpitched tie dot accidental time-modification notehead notations lyric play instrument staff",
    "attributes": "divisions key time staves clef transpose for-part staff-details measure-style",
    "direction": "direction-type offset staff voice sound footnote level",
    "direction-type": "words dynamics wedge pedal octave-shift metronome rehearsal segno coda scordatura harp-pedals percussion dashes",
    "notations": "technical articulations ornaments slur tied tuplet arpeggiate glissando slide fermata dynamics",
    "sound": "instrument-change play midi-instrument swing offset",
    "part-list": "part-group score-part",
    "score-part": "part-link group score-instrument midi-instrument part-name-display identification",
    "measure": "note backup forward direction attributes harmony figured-bass print sound barline",
    "barline": "repeat ending segno coda fermata bar-style",
    "metronome": "beat-unit per-minute metronome-note",
    "technical": "string fret fingering harmonic bend open-string stopped hole",
    "key": "fifths key-step key-alter key-accidental",
    "time": "beats beat-type senza-misura interchangeable",
    "transpose": "diatonic chromatic octave-change double",
    "staff-details": "staff-tuning staff-type staff-lines capo",
}
"""Elements that the reader reads, by their parents: all are to come up in a few hundred scores."""


def _valid(root: etree._Element) -> str:
    again = etree.fromstring(etree.tostring(root))
    return "" if musicxml_schema().validate(again) else str(musicxml_schema().error_log)


@pytest.mark.parametrize("rich", [0, 10, 25, 50, 80])
@pytest.mark.parametrize("pools", [None, TAME], ids=["any", "tame"])
def test_what_is_written_is_valid(rich: int, pools: dict[str, tuple[str, ...]] | None) -> None:
    for seed in range(12):
        assert not _valid(score(Pen.seeded(f"valid/{rich}/{seed}"), 2, 3, rich, pools))


@settings(max_examples=15, derandomize=True, database=None)
@given(trees())
def test_what_hypothesis_draws_is_valid(root: etree._Element) -> None:
    assert not _valid(root)


def test_all_that_the_reader_reads_comes_up() -> None:
    seen: Counter[tuple[str, str]] = Counter()
    roots: Counter[object] = Counter()
    for seed in range(150):
        root = score(Pen.seeded(f"all/{seed}"), 2, 4, 50)
        roots[root.tag] += 1
        for element in root.iter():
            seen.update((str(element.tag), str(child.tag)) for child in element)
    missing = [(parent, name) for parent, names in READ.items() for name in names.split() if not seen[parent, name]]
    assert not missing
    assert min(roots["score-partwise"], roots["score-timewise"]) > 0


def test_a_dress_changes_no_meaning() -> None:
    """The tree again from its bytes by libxml2: names, attributes and texts, white space between tags apart."""
    for seed in range(40):
        pen = Pen.seeded(f"dress/{seed}")
        root = score(pen, 1, 2, 25)
        source = from_bytes(dressed(root, pen), "cue")
        parser = etree.XMLParser(encoding="utf-8", remove_comments=True, remove_pis=True)
        again = etree.fromstring(source.data[source.lead :].decode(source.encoding).encode(), parser)
        assert _rows(again) == _rows(root), seed


def _rows(root: etree._Element) -> list[tuple[object, ...]]:
    return [
        (one.tag, sorted(one.attrib.items()), "" if len(one) else (one.text or "").replace("\r\n", "\n")) for one in root.iter()
    ]
