"""Published music that has been played for a long time must not be stopped by this tool.

The scores are those that music21 bundles (a test-only package): the string quartets of Haydn, Mozart and Beethoven in the quick
lane, all 808 files in the long one.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.corpus_files import music21_files
from tests.external.corpus_pass import Checked, checked, of_composers

QUARTETS = ("haydn", "mozart", "beethoven")
NOTES_A_HALT = 5_000
"""Fewer than one halt in so many notes."""

OVERFULL = "a bar of the encoding that holds more than its meter while the other parts keep to it: the file is faulty there"
EXPLAINED = {
    ("corpus/beethoven/opus18no1/movement1.mxl", "P1", "bar.overfull"): OVERFULL,
    ("corpus/beethoven/opus18no1/movement2.mxl", "P4", "bar.overfull"): OVERFULL,
    ("corpus/beethoven/opus18no1/movement4.mxl", "P2", "bar.overfull"): OVERFULL,
    ("corpus/beethoven/opus59no3/movement2.mxl", "P1", "bar.overfull"): OVERFULL,
    ("corpus/haydn/opus74no1/movement4.mxl", "P4", "compass.below"): "bar 273, B1 in the cello: a misprint of the encoding; the"
    " lowest string is C2 and the parts in octaves have B2",
    ("corpus/schumann_robert/opus41no1/movement4.mxl", "P3", "compass.below"): "bar 32, Cb3 in the viola, a semitone below its"
    " lowest string: a misprint of the encoding",
}
"""Every halt that remains on the quartets, and why it is right."""


def _halts(files: list[Checked]) -> list[tuple[str, str, str, int]]:
    return [(f.name, told.part, told.rule, told.count) for f in files for told in f.told if told.grade == "halt"]


def test_quartets_have_next_to_no_halts_and_each_is_explained() -> None:
    files = [checked(path) for path in of_composers(*QUARTETS)]
    notes = sum(file.notes for file in files)
    assert notes > 100_000, "the quartets were not recognised, so nothing was tested"
    halts = _halts(files)
    assert {halt[:3] for halt in halts} <= set(EXPLAINED), halts
    assert sum(halt[3] for halt in halts) * NOTES_A_HALT < notes


@pytest.mark.long
def test_no_file_crashes_or_is_refused_and_no_rule_fails() -> None:
    files = [checked(path) for path in music21_files()]
    assert len(files) >= 800
    assert [(file.name, file.error) for file in files if file.error] == []
    assert [(file.name, file.failures) for file in files if file.failures] == []


@pytest.mark.long
def test_how_often_each_rule_speaks(capsys: pytest.CaptureFixture[str]) -> None:
    """Prints hits by rule a thousand notes. A rule of grade halt speaks in at most one published file in a hundred."""
    files = [checked(path) for path in music21_files()]
    notes = sum(file.notes for file in files)
    hits: Counter[tuple[str, str]] = Counter()
    spoken: Counter[tuple[str, str]] = Counter()
    for file in files:
        for told in file.told:
            hits[told.rule, told.grade] += told.count
        spoken.update({(told.rule, told.grade) for told in file.told})
    with capsys.disabled():
        print(f"\n{len(files)} files, {notes} notes of recognised parts")
        for (rule, grade), count in sorted(hits.items()):
            print(f"{rule:32}{grade:6}{count:7} hits {1000 * count / notes:9.3f} a 1,000 notes {spoken[rule, grade]:4} files")
    often = {key: count for key, count in spoken.items() if key[1] == "halt" and count * 100 > len(files)}
    assert often == {}
