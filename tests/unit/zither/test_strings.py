"""One tuning for a set of notes, against brute force over every tuning, and against figures worked out by hand."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

import pytest

from xmlcheck.pitch import parse
from xmlcheck_zither.planning.reach import IMPOSSIBLE, Reach, impossible, moving, points, serving
from xmlcheck_zither.planning.strings import Tuning, alike, freely

OCTAVES = [f"{letter}{octave}" for octave in (2, 3, 4, 5) for letter in ("D", "E", "F#", "A", "B")]
GUZHENG = tuple(parse(name).cents for name in [*OCTAVES, "D6"])
"""Guzheng in D, 21 strings (Denburg, Zheng, guide for composers)."""
TONE = Reach(up=200, limit=200)


def demand(text: str) -> dict[int, int]:
    """`G4*12 A4` as cents to weight."""
    pairs = (item.partition("*") for item in text.split())
    return {parse(name).cents: int(times or 1) for name, _, times in pairs}


def within(home: Sequence[int], reach: int) -> tuple[tuple[int, ...], ...]:
    return tuple(tuple(pitch + 100 * step for step in range(-reach, reach + 1)) for pitch in home)


def cost(wanted: dict[int, int], tuning: Sequence[int], home: Sequence[int], reach: Reach) -> int:
    """The price of a tuning, from its definition: each note from whichever string gives it with least effort."""
    total = sum(moving(pitch - usual) for pitch, usual in zip(tuning, home, strict=True))
    for pitch, weight in wanted.items():
        efforts = [effort for string in tuning if (effort := reach.effort(pitch - string)) is not None]
        total += weight * (min(efforts) * 10**7 if efforts else IMPOSSIBLE)
    return total


def cases(count: int) -> list[tuple[Tuning, tuple[tuple[int, ...], ...], dict[int, int], Reach]]:
    """Small random string sets, some with two strings of one pitch, and notes below, between and above them."""
    random.seed(11)
    found = []
    for _ in range(count):
        home = [6000]
        for _ in range(random.randint(1, 4)):
            home.append(home[-1] + 100 * random.choice([0, 1, 2, 3, 4, 5]))
        reach = Reach(200, random.choice([200, 300]), random.choice([0, 100]))
        options = tuple(
            tuple(pitch + 100 * step for step in random.choice([(-1, 0, 1), (0, 1), (-2, -1, 0, 1, 2)])) for pitch in home
        )
        wanted = {6000 + 100 * random.randint(-2, 22): random.randint(1, 9) for _ in range(random.randint(1, 8))}
        found.append((tuple(home), options, wanted, reach))
    return found


@pytest.mark.parametrize("case", cases(120), ids=lambda case: None)
def test_free_strings_are_the_optimum(case: tuple[Tuning, tuple[tuple[int, ...], ...], dict[int, int], Reach]) -> None:
    home, options, wanted, reach = case
    every = [tuning for tuning in itertools.product(*options) if list(tuning) == sorted(tuning)]
    found, tuning = freely(wanted, options, home, reach)
    assert found == min(cost(wanted, tuning, home, reach) for tuning in every)
    assert found == cost(wanted, tuning, home, reach)


@pytest.mark.parametrize("case", cases(120), ids=lambda case: None)
def test_octaves_alike_are_the_optimum(case: tuple[Tuning, tuple[tuple[int, ...], ...], dict[int, int], Reach]) -> None:
    home, options, wanted, reach = case

    def regular(tuning: Sequence[int]) -> bool:
        shifts: dict[int, int] = {}
        return all(shifts.setdefault(a % 1200, b - a) == b - a for a, b in zip(home, tuning, strict=True))

    every = [tuning for tuning in itertools.product(*options) if list(tuning) == sorted(tuning) and regular(tuning)]
    found = alike(wanted, options, home, reach)
    assert (found is None) == (not every)
    if found is not None:
        assert found[0] == min(cost(wanted, tuning, home, reach) for tuning in every)


def test_one_bridge_saves_twelve_presses() -> None:
    """G4 twelve times in D: pressed a semitone on the F sharp string, 12 points; with that string on G nothing is pressed."""
    wanted = demand("G4*12 A4*6 B4*6 D5*6 E5*4")
    assert points(serving(wanted, GUZHENG, TONE)) == 12
    found, tuning = freely(wanted, within(GUZHENG, 1), GUZHENG, TONE)
    assert (impossible(found), points(found)) == (0, 0)
    assert [(a, b) for a, b in zip(GUZHENG, tuning, strict=True) if a != b] == [(parse("F#4").cents, parse("G4").cents)]


def test_a_koto_string_above_its_neighbours_number() -> None:
    """Two strings share D4 (1 and 5 of hirajoshi, Sapp): both may be on one pitch, and neither has to move."""
    home = tuple(parse(name).cents for name in ["G3", "A3", "Bb3", "D4", "D4", "Eb4", "G4"])
    found, tuning = freely(demand("D4*4 Eb4*2 G4"), within(home, 1), home, TONE)
    assert found == 0
    assert tuning == home


def test_pulling_reaches_down() -> None:
    pulled = Reach(up=200, limit=200, down=100)
    assert pulled.effort(-100) is not None
    assert pulled.effort(-200) is None
    assert Reach(up=200, limit=200).effort(-100) is None


def test_a_quarter_tone_is_no_open_string() -> None:
    assert Reach().effort(50) is None
    assert Reach().effort(20) == 0
    assert Reach(200, 200).effort(50) == Reach(200, 200).effort(100)
