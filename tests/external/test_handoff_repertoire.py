"""Published repertoire split into parts: every part is its line, so nothing in its music may be told (false alarms).

The files are those that music21 bundles. Each part is cut out of the score with nothing else changed. What stands in the first
part only (tempo, rehearsal marks, jumps) is then really missing from the others, and the pages break as in the score.
"""

from __future__ import annotations

import copy
import random
from pathlib import Path

import pytest
from lxml import etree

from tests.corpus_files import label, music21_files
from xmlcheck.document import parse
from xmlcheck.errors import XmlcheckError
from xmlcheck.handing.answer import handoff
from xmlcheck.source import original, read_source

FIRST_PART_ONLY = {"frame.tempo", "frame.rehearsal", "frame.repeats", "page.turn", "page.cue", "page.header"}
LARGEST = 600_000


def split(path: Path, folder: Path) -> int:
    """Writes the score and its parts; returns how many, 0 where the file is no partwise score of 2 to 14 parts."""
    try:
        source = original(read_source(path))
        root = parse(source).root
    except XmlcheckError:
        return 0
    parts = root.findall("part")
    if root.tag != "score-partwise" or not 2 <= len(parts) <= 14 or len(source.data) > LARGEST:
        return 0
    (folder / "score.musicxml").write_bytes(etree.tostring(root, xml_declaration=True, encoding="utf-8"))
    for number, part in enumerate(parts):
        alone = copy.deepcopy(root)
        for other in [one for place, one in enumerate(alone.findall("part")) if place != number]:
            alone.remove(other)
        listed = alone.find("part-list")
        assert listed is not None
        for one in [one for one in listed if one.tag != "score-part" or one.get("id") != part.get("id")]:
            listed.remove(one)
        (folder / f"{number + 1:02}.musicxml").write_bytes(etree.tostring(alone, xml_declaration=True, encoding="utf-8"))
    return len(parts)


def alarms(path: Path, folder: Path) -> tuple[int, list[str]]:
    count = split(path, folder)
    found = handoff(folder).disagreements if count else ()
    return count, [f"{item.kind} {item.file} {item.bar}: {item.text}" for item in found if item.kind not in FIRST_PART_ONLY]


@pytest.mark.parametrize("path", music21_files()[3::75], ids=label)
def test_a_part_is_its_line(path: Path, tmp_path: Path) -> None:
    count, told = alarms(path, tmp_path)
    if not count:
        pytest.skip("no partwise score of several parts")
    assert told == []


@pytest.mark.long
def test_all_of_it(tmp_path: Path) -> None:
    parts = 0
    for number, path in enumerate(music21_files()[::2]):
        folder = tmp_path / str(number)
        folder.mkdir()
        count, told = alarms(path, folder)
        parts += count
        assert told == [], path.name
    assert parts > 500


@pytest.mark.long
def test_one_changed_note_is_found_in_its_bar(tmp_path: Path) -> None:
    """One letter of one note of one part is another: told for that part, in that bar, and nothing else of its music is."""
    rng = random.Random(9)
    tried = 0
    for number, path in enumerate(music21_files()[1::6]):
        folder = tmp_path / str(number)
        folder.mkdir()
        if not split(path, folder):
            continue
        file = rng.choice(sorted(folder.glob("[0-9]*.musicxml")))
        root = etree.fromstring(file.read_bytes())
        notes = [note for note in root.iter("note") if note.find("pitch") is not None and _plain(note)]
        if not notes:
            continue
        note = rng.choice(notes)
        step = note.find("pitch/step")
        assert step is not None
        step.text = {"C": "D", "D": "E", "E": "F", "F": "G", "G": "A", "A": "B", "B": "A"}[step.text or "C"]
        file.write_bytes(etree.tostring(root, xml_declaration=True, encoding="utf-8"))
        measure = note.getparent()
        assert measure is not None
        told = [item for item in handoff(folder).disagreements if item.kind not in FIRST_PART_ONLY]
        assert [(item.kind, item.file, item.bar) for item in told] == [("music.notes", file.name, measure.get("number"))], (
            path.name
        )
        tried += 1
    assert tried > 50


def _plain(note: etree._Element) -> bool:
    """No grace, cue, hidden or tied note, and none of a chord, whose other notes could be the same."""
    marks = ("grace", "cue", "chord", "tie")
    return not any(note.find(mark) is not None for mark in marks) and note.get("print-object") != "no"
