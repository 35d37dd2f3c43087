"""Spelling by the line of fifths, against the line itself and passages whose harmony leaves no doubt.

Checked against: the line ... F C G D A E B F# ... with C at 0 (Temperley 2000); a C minor line with D#, an E major line with A
flat; bundled chorales by Bach of music21 (a test-only package), whose spelling is an editor's.
"""

from __future__ import annotations

import pytest

from tests.corpus_files import music21_files
from xmlcheck.document import parse
from xmlcheck.facts.tones import tones
from xmlcheck.pitch import parse as pitch
from xmlcheck.reader import read
from xmlcheck.source import from_bytes, read_source
from xmlcheck.testing import score
from xmlcheck_export.fifths import Odd, name, odd, place, spread


def found(notes: str, fifths: int | None) -> list[Odd]:
    part = read(parse(from_bytes(score(notes), "test"))).parts[0]
    own = tones(part.notes)
    return odd(own, [fifths] * len(own))


@pytest.mark.parametrize(
    ("text", "expected"), [("F4", -1), ("C4", 0), ("B4", 5), ("F#4", 6), ("Bb4", -2), ("Cb4", -7), ("F##2", 13)]
)
def test_line(text: str, expected: int) -> None:
    assert place(pitch(text)) == expected
    assert name(expected) == text[:-1]


def test_sharp_in_flats_and_flat_in_sharps() -> None:
    (first,) = found("C5.q D5 Eb5 F5 G5 Ab5 G5 F5 C5 D5 D#5 F5 G5 Ab5 B5 C6", -3)
    assert (first.tone.written.name, first.other) == ("D#5", "Eb")
    assert first.here - first.there > 5
    (second,) = found("E5.q F#5 G#5 A5 B5 A5 G#5 F#5 E5 F#5 Ab5 A5 B5 C#6 D#6 E6", 4)
    assert (second.tone.written.name, second.other) == ("Ab5", "G#")


def test_leading_notes_and_chromatic_steps_stay() -> None:
    assert found("A4.q B4 C5 D5 E5 F5 G#5 A5 G#5 F5 E5 D5 C5 B4 A4 A4", 0) == []
    assert found("C5.q C#5 D5 D#5 E5 F5 F#5 G5 G#5 A5 Bb5 B5 C6 B5 Bb5 A5", 0) == []


def test_spread_is_small_where_spellings_hang_together() -> None:
    flats = [place(pitch(text)) for text in ("Eb4", "F4", "G4", "Ab4", "Bb4", "C5", "D5")]
    sharps = [place(pitch(text)) for text in ("D#4", "F4", "G4", "G#4", "A#4", "C5", "D5")]
    assert spread(flats) == pytest.approx(12 / 7)  # -3 -1 1 -4 -2 0 2 around -1
    assert spread(sharps) > 2 * spread(flats)
    assert spread([]) == 0


def test_chorales_are_spelled_by_an_editor() -> None:
    """In every tenth chorale fewer than one note in 1,000 is named."""
    paths = [path for path in music21_files() if "/corpus/bach/" in path.as_posix()][::10]
    notes = named = 0
    for path in paths:
        for part in read(parse(read_source(path))).parts:
            own = tones(part.notes)
            keys = [next((key.fifths for key in reversed(part.keys) if key.onset <= tone.onset), None) for tone in own]
            notes += len(own)
            named += len(odd(own, keys))
    assert notes > 5_000
    assert named * 1_000 < notes
