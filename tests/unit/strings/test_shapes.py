"""Chords.

Checked against an independent search over all ways to lay a chord out, and against values worked out by hand.
"""

from __future__ import annotations

import itertools
import random

import pytest

from xmlcheck.pitch import parse
from xmlcheck_strings.board import Board, Grip, Neck, Stop
from xmlcheck_strings.shapes import best, fingers_for, shared

from .conftest import BoardOf


def heights(*names: str) -> tuple[int, ...]:
    return tuple(sorted(parse(name).cents for name in names))


def test_two_notes_below_the_second_string(board_of: BoardOf) -> None:
    violin = board_of("violin")
    assert best(violin, heights("G3", "G#3")) is None
    assert shared(violin, heights("G3", "G#3")) == heights("G3", "G#3")
    assert shared(violin, heights("B3", "C#4", "A5")) == heights("B3", "C#4")
    assert shared(violin, heights("G3", "D4")) == ()


def test_open_string_and_stop(board_of: BoardOf) -> None:
    shape = best(board_of("violin"), heights("G3", "G4"), neighbours=True)
    assert shape is not None
    assert [(stop.string, stop.stop) for stop in shape.stops] == [(0, 0.0), (1, 5.0)]
    assert shape.fits


def test_under_the_bow_strings_lie_side_by_side(board_of: BoardOf) -> None:
    """G3 with E5: on the D string E5 is fourteen semitones up, over an open G; plucked, a lower place on another string serves."""
    violin = board_of("violin")
    bowed, plucked = best(violin, heights("G3", "E5"), neighbours=True), best(violin, heights("G3", "E5"))
    assert bowed is not None
    assert plucked is not None
    assert [stop.string for stop in bowed.stops] == [0, 1]
    assert plucked.stops[1].string > 1
    assert plucked.stops[1].stop < 10


@pytest.mark.parametrize(
    ("frets", "fingers"),
    [
        (
            "1 3 3 2 1 1",
            3,
        ),  # F major: first finger across, one for the neighbours at the third fret, one between; four are usual
        ("0 2 2 1 0 0", 2),  # E major; neighbours at one fret can lie under one finger
        ("x 3 2 0 1 0", 3),  # C major
        ("x 1 4 2 3 2", 4),  # a lying second finger under a fourth on the string between
        ("1 0 1 x x x", 2),  # an open string between would be silenced by a lying finger
        ("3 2 3 3 4 1", 5),  # six stops and no lying finger that saves more than one
    ],
)
def test_fingers(frets: str, fingers: int) -> None:
    stops = [Stop(string, float(fret)) for string, fret in enumerate(frets.split()) if fret != "x"]
    assert fingers_for(stops, barre=True) == fingers


def test_without_a_lying_finger_each_stop_takes_one() -> None:
    stops = [Stop(string, float(fret)) for string, fret in enumerate((1, 3, 3, 2, 1, 1))]
    assert fingers_for(stops, barre=False) == 6


@pytest.mark.parametrize("neighbours", [False, True])
def test_agrees_with_a_search_over_all_layouts(neighbours: bool) -> None:
    """Playable or not, by trying every string for every note (violin and guitar tunings, random chords, no lying finger)."""
    rng = random.Random(5)
    for tuning, scale in (((5500, 6200, 6900, 7600), 325), ((4000, 4500, 5000, 5500, 5900, 6400), 650)):
        board = Board(Neck((19.0,) * len(tuning), scale, grip=Grip(80, 118, 4)), tuning)
        for _ in range(400):
            pitches = sorted(
                {rng.randrange(tuning[0] // 100, tuning[0] // 100 + 40) * 100 for _ in range(rng.choice((2, 3, 4)))}
            )
            shape = best(board, pitches, neighbours)
            assert bool(shape and shape.fits) == playable(board, pitches, neighbours), pitches


def playable(board: Board, pitches: list[int], neighbours: bool) -> bool:
    for strings in itertools.permutations(range(len(board.open)), len(pitches)):
        stops = [(pitch - board.open[string]) / 100 for pitch, string in zip(pitches, strings, strict=True)]
        if any(not 0 <= stop <= 19 for stop in stops):
            continue
        if neighbours and max(strings) - min(strings) != len(strings) - 1:
            continue
        held = [stop for stop in stops if stop]
        if len(held) <= 4 and (not held or board.x(max(held)) - board.x(min(held)) <= 118.5):
            return True
    return False
