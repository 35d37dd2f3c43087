"""The same notes before and after annotating, by music21's reader (test-only, BSD licence; 10.5.1 when measured) as well as by ours.

music21 refuses much that the standard allows (alterations of no size that it knows, decimal divisions, some encodings), so scores are
written with values that it takes; what it refuses all the same is counted and left out.
"""

from __future__ import annotations

import pytest

from tests.external.music21_notes import music21_notes
from tests.fuzz.dress import dressed
from tests.fuzz.pen import Pen
from tests.fuzz.properties import NAME, check
from tests.fuzz.scores import TAME, score
from xmlcheck.annotation import annotate
from xmlcheck.source import from_bytes, original


@pytest.mark.parametrize("count", [12, pytest.param(120, marks=pytest.mark.long)])
def test_music21_reads_the_same_notes_with_the_marks_in(count: int) -> None:
    read = notes = marks = 0
    for number in range(count):
        pen = Pen.seeded(f"readers/{number}")
        data = original(from_bytes(dressed(score(pen, 2, 3, 10, TAME), pen), NAME)).data
        try:
            before = music21_notes(data)
        except Exception:  # whatever it stops at before the annotation is not ours
            continue
        marked = annotate(data, check(data), "all")
        assert music21_notes(marked) == before, number
        read += 1
        notes += sum(len(part.notes) for part in before)
        marks += marked.count(b"begin?>") + marked.count("begin?>".encode("utf-16-le"))
    assert read >= count / 2
    assert notes > 4 * count
    assert marks > count
