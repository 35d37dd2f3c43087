"""The tank of air, against figures worked out by hand from the model of Huron and Berec (2009)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.unit.winds.build import chair
from xmlcheck.cited import Cited
from xmlcheck.facets import Breath
from xmlcheck_winds.breathing import Blown, runs, seconds_of
from xmlcheck_winds.facets import Blowing

TONE = chair("C5.w").tones[0]


def steps(*parts: tuple[float, float], breath: float = 10.0, free: bool = False) -> list[Blown]:
    """(seconds blown, rest after)."""
    clock, result = 0.0, []
    for number, (length, rest) in enumerate(parts):
        tone = replace(TONE, onset=number)
        result.append(Blown(tone, clock, clock + length, length / breath, free, False, False))
        clock += length + rest
    return result


def test_eight_seconds_of_ten() -> None:
    assert list(runs(steps((8, 0)), None)) == []


def test_twelve_of_ten() -> None:
    (run,) = runs(steps((6, 0), (6, 0)), None)
    assert (run.seconds, run.limit, run.inside) == (12, 10, False)


def test_a_rest_of_less_than_a_quarter_second_is_no_breath() -> None:
    assert len(list(runs(steps((6, 0.2), (6, 0)), None))) == 1
    assert list(runs(steps((6, 1.3), (6, 0)), None)) == []


def test_half_the_time_of_a_full_breath_fills_half() -> None:
    """0.65 of 1.3 s: after nine seconds of ten, 0.1 + 0.5 is left, enough for six seconds and no more."""
    assert list(runs(steps((9, 0.65), (5.9, 0)), None)) == []
    assert len(list(runs(steps((9, 0.65), (6.2, 0)), None))) == 1


def test_short_rests_again_and_again_do_not_keep_up() -> None:
    """Each quarter-second rest fills 0.19 of a breath, each phrase takes 0.5."""
    found = list(runs(steps(*[(5, 0.26)] * 6), None))
    assert found, "single phrases are short enough, all of them together are not"


def test_the_profile_may_know_better() -> None:
    quick = Blowing(Cited("breath"), inhale_seconds=Cited(0.5), catch_seconds=Cited(0.1))
    assert list(runs(steps((6, 0.2), (6, 0)), quick)) == []


def test_breaths_go_where_no_slur_is_cut_and_as_few_as_possible() -> None:
    """24 s in notes of 1 s, 13.3 s a breath: two phrases; 8 s a breath: three."""
    (run,) = runs(steps(*[(1, 0)] * 24, breath=13.3, free=True), None)
    assert run.inside
    assert len(run.places) == 1
    (run,) = runs(steps(*[(1, 0)] * 24, breath=8.0, free=True), None)
    assert len(run.places) == 2
    assert [tone.onset for tone in run.places] == [7, 15]


@pytest.mark.parametrize(("level", "expected"), [(None, 10), (0, 14), (2, 14), (3, 10), (5, 10), (6, 5)])
def test_seconds_by_loudness(level: int | None, expected: float) -> None:
    breath = Breath(soft=Cited(14.0), middle=Cited(10.0), loud=Cited(5.0))
    found = seconds_of(breath, level)
    assert found is not None
    assert found.value == expected


def test_what_is_not_given_is_worked_out_from_the_middle() -> None:
    found = [seconds_of(Breath(middle=Cited(10.0)), level) for level in (1, 6)]
    assert [item.value for item in found if item is not None] == [13, 6]
    assert seconds_of(Breath(), 4) is None
