"""Grids of played onsets, against hand-worked values.

Checked against: onsets 0, .5, 1, 1.25, 1.5, 2, 2 1/3, 2 2/3, 3 of a written bar with and without noise of up to 0.022 quarter
notes (about 20 ms at 66 a minute), quantised by hand; the smallest denominators of fractions.
"""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from xmlcheck_export.grid import coarsest, denominator, fit, on_grid

WRITTEN = [F(0), F(1, 2), F(1), F(5, 4), F(3, 2), F(2), F(7, 3), F(8, 3), F(3)]
NOISE = [F(n, 1000) for n in (4, -13, 20, -17, 9, 21, -6, 13, -22)]


def test_written_onsets_stay() -> None:
    found = fit(WRITTEN)
    assert found.places == tuple(WRITTEN)
    assert found.error == 0
    assert dict(found.divisions) == {0: 2, 1: 4, 2: 3, 3: 1}


def test_noise_is_taken_off() -> None:
    played = sorted(place + off for place, off in zip(WRITTEN, NOISE, strict=True))
    found = fit(played)
    assert found.places == tuple(WRITTEN)
    assert found.error == pytest.approx(sum(abs(float(off)) for off in NOISE) / 9)


def test_noise_buys_no_finer_grid() -> None:
    assert fit([F(3, 100), F(103, 100), F(195, 100)]).finest == (1,)


def test_two_onsets_do_not_fall_on_one_place() -> None:
    found = fit([F(0), F(12, 100), F(50, 100)])
    assert len(set(found.places)) == 3


@pytest.mark.parametrize(
    ("ticks", "per_quarter", "expected"), [(961, 1920, 1920), (480, 960, 2), (320, 960, 3), (0, 960, 1), (7, 480, 480)]
)
def test_denominator(ticks: int, per_quarter: int, expected: int) -> None:
    assert denominator(ticks, per_quarter) == expected
    assert on_grid(ticks, per_quarter) == (expected <= 3)


def test_level_tells_played_from_written() -> None:
    assert coarsest(WRITTEN) == 2
    assert coarsest([place + off for place, off in zip(WRITTEN, NOISE, strict=True)]) == 0
    assert coarsest([]) == 1
