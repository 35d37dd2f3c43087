"""Two revisions of a 5 MB score take at most three times as long as reading both. A file that music21 bundles is large enough."""

from __future__ import annotations

import copy
import random
import time

import pytest
from lxml import etree

from tests.corpus_files import music21_files
from tests.unit.comparing.edits import Desk, NoPlace, plant
from xmlcheck.comparing import compare, revision
from xmlcheck.source import read_source

SIZE = 4_500_000
"""Bytes: the file of the bundled ones that is nearest to 5 MB from above this."""
TIMES = 3.0


@pytest.mark.long
def test_two_revisions_of_a_large_score() -> None:
    sizes = {path: len(read_source(path).data) for path in music21_files() if path.stat().st_size > 100_000}
    path = min((path for path, size in sizes.items() if size >= SIZE), key=lambda path: sizes[path])
    old = read_source(path).data
    desk = Desk(copy.deepcopy(revision(old).root), random.Random(5))
    for kind in ("pitch", "bars inserted", "transposed", "note removed", "dynamic", "bars moved", "bars deleted", "rhythm"):
        try:
            plant(desk, kind)
        except NoPlace:
            continue
    new = etree.tostring(desk.root)
    reading, comparing = [], []
    for _ in range(3):
        start = time.perf_counter()
        revision(old)
        revision(new)
        middle = time.perf_counter()
        assert not compare(old, new).same
        reading.append(middle - start)
        comparing.append(time.perf_counter() - middle)
    print(f"{path.name}, {sizes[path]} bytes: reading both {min(reading):.2f} s, comparing {min(comparing):.2f} s")
    assert min(comparing) <= TIMES * min(reading)
