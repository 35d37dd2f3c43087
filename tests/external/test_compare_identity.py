"""A file against itself and against other ways to write the same music: no change at all.

What is the same music is said by MusicXML 4.0 (https://www.w3.org/2021/06/musicxml40/): part by part or bar by bar
(score-timewise), zipped (tutorial on compressed files), any encoding of XML, any divisions (element divisions), any names of voices
(element voice), any order of attributes (XML 1.0, section 3.1: it is not significant). Files: those that music21 bundles.
"""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from tests.corpus_files import label, music21_files, music21_sample
from tests.unit.comparing.variants import VARIANTS
from xmlcheck.comparing.revision import revision
from xmlcheck.comparing.scores import compare_music
from xmlcheck.source import read_source

FILES = [
    pytest.param(path, id=label(path), marks=() if path in music21_sample() else pytest.mark.long) for path in music21_files()
]


@pytest.mark.parametrize("path", FILES)
def test_the_same_music_written_otherwise(path: Path) -> None:
    old = revision(read_source(path))
    for name, write in VARIANTS.items():
        new = revision(write(copy.deepcopy(old.root)))
        assert sum(len(part.notes) for part in new.score.parts) == sum(len(part.notes) for part in old.score.parts)
        found = compare_music(old, new).changes
        assert not found, (name, [(change.kind, change.part, change.text) for change in found[:5]])
