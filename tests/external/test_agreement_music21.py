"""Our reader against music21's, note for note, over all MusicXML files that music21 brings (808 with version 10.5.1).

Both read the same bytes. Compared are, part by part, the onset in the bar (an exact fraction of a quarter note), the duration
and the sounding pitch to a cent of every notehead, and how long every bar is. Whatever differs has to belong to a class that
the standard decides; `agreement` lists them.
"""

from __future__ import annotations

import multiprocessing
from pathlib import Path

import pytest

from ..corpus_files import label, music21_files, music21_sample
from .agreement import BAR_CLASSES, NOTE_CLASSES, Tally, compare

REQUIRED = 0.999
"""Share of noteheads that have to agree, those in a known class of disagreement counted as not agreeing."""


def _compared(path: Path) -> Tally:
    return compare(label(path), path.read_bytes())


@pytest.mark.parametrize("path", music21_sample(), ids=label)
def test_small_sample(path: Path) -> None:
    tally = _compared(path)
    assert not tally.refused
    assert not tally.unexplained
    assert tally.agreed >= tally.notes * REQUIRED


@pytest.mark.long
def test_every_file() -> None:
    files = music21_files()
    assert len(files) > 600
    total = Tally()
    with multiprocessing.get_context("fork").Pool(2) as pool:
        for tally in pool.imap_unordered(_compared, files, chunksize=8):
            total.add(tally)
    print(total)
    assert not total.unexplained
    assert not total.refused
    assert total.notes > 400_000
    assert total.transposed > 0
    assert total.grace > 0
    assert total.agreed >= total.notes * REQUIRED
    assert set(total.classes) <= {*NOTE_CLASSES, *BAR_CLASSES}
    # music21 lets each part add up its own bars, so one bar of another length moves all that follows (BAR_CLASSES).
    assert total.bars_agreed >= total.bars * 0.98
    assert total.onsets >= total.notes * 0.9
