"""The path through stretches and settings: agrees with brute force, and with figures worked out by hand."""

from __future__ import annotations

import random
from itertools import product

import pytest

from xmlcheck.pitch import parse
from xmlcheck_winds.choosing import Fit, Sung, fit, ranked, through
from xmlcheck_winds.facets import Fingering, Row, Size
from xmlcheck_winds.planning import cheapest

SIX_HOLES = ("open", "half", "open", "half", "open", "open", "half", "open", "half", "open", "forked", "open")
FIVE_HOLES = ("open", "half", "half", "open", "half", "open", "half", "open", "half", "half", "open", "half")
WHISTLE = Fingering(rows=(Row(0, SIX_HOLES, again=True),))
SHAKUHACHI = Fingering(rows=(Row(0, FIVE_HOLES, again=True),))


def size(name: str, lowest: str, span: int = 26) -> Size:
    low = parse(lowest)
    return Size(name, name, low, low.moved(span), low.moved(span), usual=name == "D")


WHISTLES = [size(key, f"{key}{octave}") for key, octave in (("D", 5), ("C", 5), ("Eb", 5), ("F", 5), ("G", 5), ("Bb", 4))]
PIPES = [size(key, f"{key}{octave}", 27) for key, octave in (("D", 4), ("E", 4), ("C", 4), ("A", 3), ("B", 3))]


def tune(names: str, seconds: float) -> list[Sung]:
    return [Sung(parse(name).cents, seconds) for name in names.split()]


def on(fits: list[Fit], name: str) -> Fit:
    return next(item for item in fits if item.size.id == name)


def test_f_major_on_six_whistles() -> None:
    """Counted by hand from the row of the six-hole whistle: home keys a fourth apart, the flat seventh forked, the rest half-holed."""
    fits = ranked(tune("F5 G5 A5 Bb5 C6 D6 E6 F6", 0.5), WHISTLES, WHISTLE)
    assert fits[0].size.id == "F"
    counts = {item.size.id: dict(item.counts) for item in fits}
    assert counts["F"] == {"open": 8}
    assert counts["C"] == {"open": 7, "forked": 1}
    assert counts["Bb"] == {"open": 7, "half": 1}
    assert counts["Eb"] == {"open": 6, "half": 2}
    assert counts["D"] == {"open": 4, "half": 3, "forked": 1}
    assert counts["G"]["outside"] == 1


def test_a_short_forked_note_costs_double() -> None:
    notes = tune("D5 E5 F#5 G5 A5 B5 C6 D6", 0.15)
    assert fit(notes, WHISTLES[0], WHISTLE).effort == 2
    assert fit([Sung(note.cents, 0.5) for note in notes], WHISTLES[0], WHISTLE).effort == 1


def test_minor_pentatonic_on_five_pipes() -> None:
    fits = ranked(tune("A4 C5 D5 E5 G5 A5", 1.0), PIPES, SHAKUHACHI)
    assert fits[0].size.id == "A"
    assert [on(fits, name).hindered for name in ("A", "D", "E", "C")] == [0, 1, 1, 4]


@pytest.mark.parametrize(
    ("gaps", "names", "effort"), [((3, 3), "D F D", 0), ((3, 1), "D C C", 14), ((1, 1), "D D D", 20)], ids=str
)
def test_changes_of_instrument_between_phrases(gaps: tuple[int, int], names: str, effort: float) -> None:
    """D major, F major, D major; two seconds for a change, changes free of charge: with less time fewer changes fit."""
    home = tune("D5 E5 F#5 G5 A5 B5 C#6 D6", 0.5) * 2
    away = tune("F5 G5 A5 Bb5 C6 D6 E6 F6", 0.5) * 2
    path, sizes = through([home, away, home], [0, *gaps], WHISTLES, WHISTLE, 2.0, price=0.0)
    assert [item.id for item in sizes] == names.split()
    assert (path.impossible, path.effort) == (0, effort)


def test_equals_brute_force() -> None:
    chance = random.Random(5)
    for _ in range(300):
        stretches, settings = chance.randint(1, 5), chance.randint(1, 4)
        costs = [[(chance.randint(0, 2), float(chance.randint(0, 9))) for _ in range(settings)] for _ in range(stretches)]
        free = [chance.choice([0.0, 1.0, 5.0]) for _ in range(stretches)]
        price = float(chance.randint(0, 4))
        best = min(
            _cost(costs, free, path, price) for path in product(range(settings), repeat=stretches) if _allowed(free, path)
        )
        found = cheapest(costs, free, 2.0, price)
        assert _allowed(free, found.settings)
        assert (found.impossible, found.effort, found.changes) == _cost(costs, free, found.settings, price) == best


def _allowed(free: list[float], path: tuple[int, ...]) -> bool:
    return all(path[i] == path[i - 1] or free[i] >= 2.0 for i in range(1, len(path)))


def _cost(
    costs: list[list[tuple[int, float]]], free: list[float], path: tuple[int, ...], price: float
) -> tuple[int, float, int]:
    changes = sum(path[i] != path[i - 1] for i in range(1, len(path)))
    return (
        sum(costs[i][k][0] for i, k in enumerate(path)),
        sum(costs[i][k][1] for i, k in enumerate(path)) + price * changes,
        changes,
    )


def test_nothing_to_plan() -> None:
    assert cheapest([], [], 2.0, 1.0).settings == ()
