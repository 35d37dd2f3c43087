"""Words of the page: accidentals, fractions of a beat, times, and who vouches for a value."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.conftest import MakeFinding
from xmlcheck.finding import Certainty, NoteName, Place
from xmlcheck.output.html import words


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("below Eb3, the lowest note", "below E♭3, the lowest note"),
        ("F##5 and Bbb2", "F♯♯5 and B♭♭2"),
        ("strings 4, 9: Bb -> A", "strings 4, 9: B♭ → A"),
        ("E4-50c", "E4 -50 cents"),
        ("D4-E6", "D4-E6"),
        ("A sampled patch", "A sampled patch"),
        ("Cb. and Db. double", "Cb. and Db. double"),
        ("Abbey, Ebb and flow", "Abbey, Ebb and flow"),
        ("S66: C7, D7", "S66: C7, D7"),
        ("a\x1b[31mred\u202e\nb", "a [31mred  b"),
    ],
)
def test_pitches_are_told_as_musicians_write_them(given: str, told: str) -> None:
    assert words.signs(given) == told


@pytest.mark.parametrize(
    ("place", "told"),
    [
        (Place(), "whole part"),
        (Place(bar="14", beat="1"), "bar 14, beat 1"),
        (Place(bar="14", beat="2+1/2"), "bar 14, beat 2½"),
        (Place(bar="14", beat="2+5/7"), "bar 14, beat 2+5/7"),
        (Place(bar="1 (2nd)", beat="1", to_bar="3"), "bars 1 (2nd)\N{EN DASH}3"),
        (Place(bar="7"), "bar 7"),
    ],
)
def test_places(place: Place, told: str) -> None:
    assert words.where(place) == told


@pytest.mark.parametrize(("seconds", "told"), [(0.0, "0:00"), (67.4, "1:07"), (3600.0, "60:00"), (None, ""), (-1.0, "")])
def test_times(seconds: float | None, told: str) -> None:
    assert words.clock(seconds) == told


def test_vouchers_name_value_certainty_and_sources(make_finding: MakeFinding) -> None:
    finding = make_finding(1, None)
    given = "compass.comfortable_lowest = Eb3 (documented: A Handbook (1901): from Eb3; Another)"
    voucher = words.vouchers(replace(finding, rests_on=(given,)))[0]
    assert voucher.value == "compass, comfortable lowest: E♭3"
    assert (voucher.certainty, voucher.meaning) == ("documented", "a published source")
    assert voucher.source == "A Handbook (1901): from Eb3; Another"
    odd = words.vouchers(replace(finding, rests_on=("told in no usual form",), certainty=Certainty.MEMORY))[0]
    assert (odd.value, odd.certainty, odd.source) == ("told in no usual form", "memory", "")


def test_notes_are_told_once_with_their_count() -> None:
    notes = [NoteName("C5", "Bb4"), NoteName("C5", "Bb4"), NoteName("E5", "E5"), NoteName(None, None)]
    assert words.notes(notes) == "C5 (sounds B♭4) \N{MULTIPLICATION SIGN}2, E5, unpitched"
    many = [NoteName(f"{step}{octave}", None) for octave in range(3) for step in "CDEFG"]
    assert words.notes(many).endswith(" and 3 more")
