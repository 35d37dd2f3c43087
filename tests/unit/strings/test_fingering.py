"""The path of the hand.

Checked against a search over all paths on short random lines, against the arithmetic of Fitts' form, and, for the erhu, against
Lan Tung, erhu for composers, 2012/2015 (the scale from D4 to E5 lies in one position; a leap of two octaves is a long way).
"""

from __future__ import annotations

import itertools
import random
import time
from dataclasses import dataclass
from typing import Any

import pytest

from xmlcheck.pitch import parse
from xmlcheck_strings.board import Board
from xmlcheck_strings.fingering import Fingering, Step, bits, finger, shift_seconds, times

from .conftest import BoardOf


@dataclass(frozen=True)
class Clock:
    """A chair as far as the path asks for one: ticks are milliseconds."""

    def seconds(self, start: int, end: int) -> float:
        return (end - start) / 1000


def line(board: Board, text: str, seconds: float) -> Fingering:
    """The path through a line of pitch names in equal lengths; open strings tie the hand to no place."""
    chair: Any = Clock()
    masks = [board.mask(parse(name).cents) for name in text.split()]
    tone: Any = None
    steps = [Step(round(1000 * seconds * n), mask, tone, board) for n, mask in enumerate(masks) if mask != board.anywhere]
    return finger(chair, steps)


def shifts(found: Fingering) -> int:
    return sum(a != b for a, b in itertools.pairwise(found.places))


@pytest.mark.parametrize(
    ("mm", "start", "per_bit", "width", "seconds"),
    [(16, 0.05, 0.04, 4.0, 0.17), (0, 0.05, 0.04, 4.0, 0.0), (32, 0.0, 1.0, 4.0, 4.0), (1, 0.05, 0.04, 4.0, 0.05)],
)
def test_fitts_form(mm: float, start: float, per_bit: float, width: float, seconds: float) -> None:
    """2D/W = 16 is 4 bits; 2D/W = 8 is 3 bits: 0.05 + 0.12. Below one bit only the start counts."""
    assert shift_seconds(mm, start, per_bit, width) == pytest.approx(seconds)


def test_erhu_scale_in_one_position(board_of: BoardOf) -> None:
    found = line(board_of("erhu"), "D4 E4 F#4 G4 A4 B4 C#5 D5 E5", 0.25)
    assert shifts(found) == 0
    assert found.late == ()


def test_erhu_leap_of_two_octaves(board_of: BoardOf) -> None:
    """E4 to E6 is 218 mm along the neck (inner string +2, outer +19), of which the frame of a fourth saves some: in a sixteenth of
    a second there is no time for it, in half a second there is."""
    erhu = board_of("erhu")
    assert line(erhu, "E4 E6 E4", 0.5).late == ()
    late = line(erhu, "E4 E6 E4", 0.0625).late
    assert [shift.seconds for shift in late] == pytest.approx([0.0625, 0.0625], abs=0.001)
    assert all(100 < shift.mm < 218 for shift in late)


def test_violin_scale_needs_one_shift_or_two(board_of: BoardOf) -> None:
    """Three octaves from G3 to G6: first position reaches B5 (common practice, no source), the rest lies further up."""
    found = line(board_of("violin"), "A3 B3 C4 E4 F4 G4 B4 C5 D5 F5 G5 A5 B5 C6 D6 E6 F6 G6", 0.125)
    assert 1 <= shifts(found) <= 2
    assert found.late == ()


def test_agrees_with_all_paths(board_of: BoardOf) -> None:
    """Fewest shifts that come too late, over every choice of places, on random lines at speeds where some do."""
    rng = random.Random(3)
    erhu, chair = board_of("erhu"), Clock()
    known = times(erhu.neck.scale_mm or 0, erhu.last)
    some = 0
    for _ in range(60):
        cents = [6900 + 100 * rng.choice((2, 5, 9, 14, 19, 24)) for _ in range(5)]
        gap = rng.choice((60, 90, 130, 170))
        masks = [erhu.mask(item) for item in cents]
        anything: Any = chair
        found = finger(anything, [Step(gap * n, mask, anything, erhu) for n, mask in enumerate(masks)])
        least = min(
            sum(known.seconds[a][b] > gap / 1000 for a, b in itertools.pairwise(path))
            for path in itertools.product(*(bits(mask) for mask in masks))
        )
        assert len(found.late) == least
        some += least > 0
    assert some > 5, "lines of both kinds were tried"


def test_cost_is_linear(board_of: BoardOf) -> None:
    """Four times the notes cost about four times as much: hard lines, where every passage is searched note by note."""
    violin, rng = board_of("violin"), random.Random(4)
    names = ["Ab3", "C#4", "F4", "Bb4", "C#5", "F5", "Bb5", "C#6", "F6", "Bb6"]

    def cost(count: int) -> float:
        text = " ".join(rng.choice(names) for _ in range(count))
        best = 1e9
        for _ in range(3):
            start = time.perf_counter()
            line(violin, text, 0.06)
            best = min(best, time.perf_counter() - start)
        return best

    cost(500)
    assert cost(4000) < 8 * cost(1000)
