"""The mock-up's clock against mido's own: `MidiFile.length` is the time of its last message (mido documentation, MIDI files)."""

from __future__ import annotations

import io
from fractions import Fraction

import pytest

from xmlcheck.errors import Unreadable, Unsupported
from xmlcheck.handing.mockup import read_midi
from xmlcheck.handing.timeline import frames, timecode

mido = pytest.importorskip("mido")


def midi(tempi: list[tuple[int, int]], beats: int, per: int = 480) -> bytes:
    """Notes of one quarter each; tempi: (quarter, microseconds)."""
    file = mido.MidiFile(type=1, ticks_per_beat=per)
    head, notes = mido.MidiTrack(), mido.MidiTrack()
    file.tracks += [head, notes]
    last = 0
    for beat, tempo in tempi:
        head.append(mido.MetaMessage("set_tempo", tempo=tempo, time=(beat - last) * per))
        last = beat
    for _ in range(beats):
        notes.append(mido.Message("note_on", note=60, time=0))
        notes.append(mido.Message("note_off", note=60, time=per))
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


@pytest.mark.parametrize("tempi", [[], [(0, 600_000)], [(0, 600_000), (3, 450_000), (7, 1_000_000)], [(2, 400_000)]])
def test_its_end_is_where_the_reference_library_says(tempi: list[tuple[int, int]]) -> None:
    data = midi(tempi, 10)
    its = read_midi(data, "a.mid")
    assert its.at(its.end) == pytest.approx(mido.MidiFile(file=io.BytesIO(data)).length)
    assert (its.first, its.end) == (Fraction(0), Fraction(10))


def test_what_is_no_midi_file() -> None:
    for data in (b"", b"MThd", b"<score-partwise/>"):
        with pytest.raises((Unreadable, Unsupported)):
            read_midi(data, "a.mid")


def test_seconds_and_frames() -> None:
    assert frames(-0.36, 25) == "0.36 s (9.0 frames at 25)"
    assert timecode(3610.2, 25) == "01:00:10:05"
