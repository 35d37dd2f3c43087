"""Looking up how a note is fingered."""

from __future__ import annotations

import pytest

from xmlcheck.errors import BadPlugin
from xmlcheck.pitch import parse
from xmlcheck_winds.classes import classed, fingered, place, within
from xmlcheck_winds.facets import Fingering, Row, Size, Sizes

TWELVE = ("open",) * 11 + ("half",)


@pytest.mark.parametrize(
    ("pitch", "expected"), [("D4", 0), ("E4-23c", 2), ("Eb4", 1), ("D4+50c", 1), ("D4-20c", 0), ("D6", 24)]
)
def test_place_counts_to_the_nearest_semitone(pitch: str, expected: int) -> None:
    assert place(parse(pitch).cents, parse("D4").cents) == expected


def test_a_row_goes_on_each_octave_and_a_short_one_is_an_exception_in_it() -> None:
    rows = (Row(0, TWELVE, again=True), Row(27, ("none",)))
    assert [classed(rows, n).name for n in (0, 11, 12, 23, 26, 27)] == ["open", "half", "open", "half", "open", "none"]
    assert classed(rows, 28).name == "open", "the exception is one semitone long"
    assert classed((Row(0, ("open",)),), 1).name == "", "a row that does not go on says nothing beyond its end"
    assert classed(rows, 27).row is rows[1]


def test_below_the_lowest_note_it_is_lip_or_head() -> None:
    assert classed((Row(0, TWELVE),), -1).name == "bent"


def test_a_size_has_what_lies_between_its_ends() -> None:
    size = Size("1-8", "1.8", parse("D4"), parse("E6"), parse("E7"), below=2)
    assert within(size, parse("C4").cents)
    assert not within(size, parse("B3").cents)
    assert within(size, parse("E7").cents)
    assert not within(size, parse("F7").cents)
    assert fingered(Fingering(), size, parse("B3").cents).name == "outside"


def test_words_that_are_none_are_blamed() -> None:
    with pytest.raises(BadPlugin, match="classes"):
        Row(0, ("open", "closed"))
    with pytest.raises(BadPlugin, match="twelve"):
        Row(0, ("open", "half"), again=True)


def test_one_size_is_the_usual_one() -> None:
    from xmlcheck.cited import Cited

    one = Size("a", "a", parse("C4"))
    with pytest.raises(BadPlugin, match="usual"):
        Sizes((one,), Cited("lowest"))
    with pytest.raises(BadPlugin, match="named_by"):
        Sizes((Size("a", "a", parse("C4"), usual=True),), Cited("colour"))
