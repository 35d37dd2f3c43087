"""Places on the neck.

Checked against arithmetic (x = L (1 - 2^(-n/12)), and the values worked out by hand that stand beside each case), and against
Lombardo and Radicioni, "Guitar fingering for music performance": E4 lies on string 1 open, 2 fret 5, 3 fret 9, 4 fret 14.
"""

from __future__ import annotations

import pytest

from xmlcheck.pitch import parse
from xmlcheck_strings.board import Board, Grip, Neck

from .conftest import BoardOf


def cents(name: str) -> int:
    return parse(name).cents


@pytest.mark.parametrize(
    ("length", "low", "high", "mm"),
    [
        (328, 2, 7, 73.3),  # violin, stopped fourth in first position
        (328, 2, 10, 108.1),  # A3 on the G string with C5 on the D string
        (328, 1, 6, 77.7),  # G#3 with G#4
        (650, 1, 4, 97.6),  # guitar, frets 1 to 4
        (650, 9, 12, 61.5),  # frets 9 to 12
        (390, 2, 7, 87.2),  # erhu, the frame of a fourth
        (390, 2, 14, 173.7),  # an octave up one string: half of what is left, 390 * 2^(-2/12) / 2
    ],
)
def test_distances(length: float, low: float, high: float, mm: float) -> None:
    board = Board(Neck((24.0,), length), (0,))
    assert board.x(high) - board.x(low) == pytest.approx(mm, abs=0.05)
    assert board.at(board.x(high)) == pytest.approx(high)


def test_one_pitch_in_four_places(board_of: BoardOf) -> None:
    guitar = board_of("guitar-classical")
    assert [(6 - stop.string, stop.stop) for stop in guitar.stops(cents("E4"))] == [(5, 19), (4, 14), (3, 9), (2, 5), (1, 0)]


def test_pitches_of_one_string_alone(board_of: BoardOf) -> None:
    """Lan Tung, erhu for composers: D4 to G#4 lie on the D string only, and that string is good for one octave."""
    erhu = board_of("erhu")
    assert {stop.string for name in ("D4", "E4", "G#4") for stop in erhu.stops(cents(name))} == {0}
    assert {stop.string for stop in erhu.stops(cents("A4"))} == {0, 1}
    assert {stop.string for stop in erhu.stops(cents("E5"))} == {1}


def test_frets_that_are_no_semitones() -> None:
    """Frets at 180 and 294 cents: Eb (100) lies on neither; E minus a comma (182) on the first; bending reaches 230 from 180."""
    neck = Neck((12.0,), 880, frets=(180, 294, 408))
    fixed, bending = Board(neck, (5000,)), Board(Neck((12.0,), 880, frets=(180, 294, 408), bend_up=60), (5000,))
    assert fixed.stops(5100) == ()
    assert [stop.stop for stop in fixed.stops(5182)] == [1.8]
    assert fixed.stops(5235) == ()
    assert [(stop.stop, stop.bend) for stop in bending.stops(5235)] == [(1.8, 55)]


def test_short_string_begins_further_up() -> None:
    """Five-string banjo: the thumb string starts at the fifth fret, so its second fret lies at the seventh of the others."""
    board = Board(Neck((22.0, 22.0), 670, frets=tuple(range(100, 2300, 100)), starts=(5, 0)), (cents("G4"), cents("D3")))
    assert [(stop.string, stop.stop) for stop in board.stops(cents("A4"))] == [(0, 7.0), (1, 19.0)]


def test_octave_course_gives_both_its_pitches() -> None:
    board = Board(Neck((12.0,), 370), (cents("E4"),), ((cents("E5"),),))
    assert [stop.stop for stop in board.stops(cents("F4"))] == [1.0]
    assert [stop.stop for stop in board.stops(cents("F5"))] == [1.0]


def test_open_string_leaves_the_hand_anywhere() -> None:
    board = Board(Neck((24.0,), 328, grip=Grip(78, 119, 4)), (cents("G3"),))
    assert board.mask(cents("G3")) == board.anywhere
    assert board.mask(cents("F#3")) == 0
    # C4, five semitones up, 82.3 mm: from the first place (18.4 mm, 63.9 mm away) to the fifth itself
    assert [place for place in range(30) if board.mask(cents("C4")) >> place & 1] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(("place", "semitones"), [(1, 4), (2, 5), (5, 6), (7, 7), (10, 8), (12, 10)])
def test_frame_widens_up_the_neck(place: int, semitones: int) -> None:
    """The frame of a stopped fourth on an erhu, x(7) - x(2) = 87.2 mm, holds more semitones further up (arithmetic, by hand)."""
    frame = 390 * (2 ** (-2 / 12) - 2 ** (-7 / 12))
    board = Board(Neck((29.0,), 390, grip=Grip(frame, 110, 4)), (0,))
    reached = [stop for stop in range(place, 30) if board.places(stop, stop, frame) >> place & 1]
    assert max(reached) - place == semitones
