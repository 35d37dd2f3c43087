"""Places in a reader's words. Beats count from 1 in the meter's denominators; a pickup ends with the bar's last beat.

MusicXML 4.0, attributes of measure: a pickup has the number "0" and is implicit, as is "the last half of mid-measure repeats".
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from xmlcheck.document import parse
from xmlcheck.facts.chair import ScoreFacts
from xmlcheck.facts.places import Places
from xmlcheck.model import Score
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import Part, score


def scored(notes: str | list[Part], *changes: tuple[str, str]) -> Score:
    text = score(notes)
    for old, new in changes:
        assert old.encode() in text
        text = text.replace(old.encode(), new.encode(), 1)
    return read(parse(from_bytes(text, "test.musicxml")))


def places(whole: Score, part: int = 0) -> Places:
    return ScoreFacts(whole).places(whole.parts[part])


def beats(whole: Score) -> list[str | None]:
    where = places(whole)
    return [where.place(note.measure, note.onset).beat for note in whole.parts[0].notes]


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("C4.q D4 E4 F4", "1 2 3 4"),
        ("C4.e D4 E4 r r.h", "1 1+1/2 2"),
        ("{3:2 C4.e D4 E4} r.h.", "1 1+1/3 1+2/3"),
        ("meter=6/8 C4.e D4 E4 F4 G4 A4", "1 2 3 4 5 6"),
        ("meter=6/8 C4.q. {3:2 D4.e E4 F4} G4.e", "1 4 4+2/3 5+1/3 6"),
        ("meter=3+2/8 C4.q. D4.q", "1 4"),
        ("meter=2/2 C4.h D4.q E4", "1 2 2+1/2"),
        ("meter=free C4.q D4 E4.h", "1 2 3"),
        ("meter=3/4 C4.q |! D4.h.", "3 1"),
        ("meter=3/4 C4.h. meter=6/8 D4.q. E4", "1 1 4"),
    ],
)
def test_beats(notes: str, expected: str) -> None:
    assert beats(scored(notes)) == expected.split()


def test_beats_of_a_meter_with_two_denominators() -> None:
    mixed = "<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>"
    whole = scored("meter=7/8 C4.q D4 E4.e F4 G4", ("<beats>7</beats><beat-type>8</beat-type>", mixed))
    assert beats(whole) == ["1", "2", "3", "4", "5"]


# A bar of 4/4 divided 3 + 1 around a repeat: the second half has beat 4.
@pytest.mark.parametrize("second", ['number="X1" implicit="yes"', 'number="1"'])
def test_the_second_half_of_a_divided_bar_counts_on(second: str) -> None:
    whole = scored("C4.q D4 E4 |! F4.q |! G4.w", ('number="1">', f"{second}>"), ('number="0" implicit="yes"', 'number="1"'))
    assert beats(whole) == ["1", "2", "3", "4", "1"]


def test_a_short_bar_in_the_middle_counts_from_one() -> None:
    whole = scored("C4.w | D4.q |! E4.w")
    assert beats(whole) == ["1", "1", "1"]


def test_a_short_only_bar_is_no_pickup() -> None:
    whole = scored("C4.q D4 |! E4.w")
    (part,) = whole.parts
    alone = Places(replace(part, measures=part.measures[:1]), whole.resolution, ScoreFacts(whole).clock(part))
    assert alone.beat(part.measures[0], 0) == "1"


def test_bar_numbers_that_come_again_are_told_apart() -> None:
    whole = scored("{x24 C4.w}")
    text = score("{x24 C4.w}")
    for number in range(2, 25):
        text = text.replace(f'number="{number}"'.encode(), b'number="1"')
    whole = read(parse(from_bytes(text, "test.musicxml")))
    bars = places(whole).bars
    assert bars[:4] == ("1", "1 (2nd)", "1 (3rd)", "1 (4th)")
    assert bars[10:13] == ("1 (11th)", "1 (12th)", "1 (13th)")
    assert bars[20:24] == ("1 (21st)", "1 (22nd)", "1 (23rd)", "1 (24th)")


def test_the_shown_number_wins_over_the_token() -> None:
    whole = scored("C4.w D4", ('<measure number="2"', '<measure number="2" text="12a"'))
    assert places(whole).bars == ("1", "12a")


def test_rehearsal_marks_hold_until_the_next_and_come_from_any_part() -> None:
    whole = scored([Part("C4.w | rehearsal=A D4 | E4 | rehearsal=B F4"), Part("C4.w D4 E4 F4")])
    for part in whole.parts:
        where = ScoreFacts(whole).places(part)
        assert [where.place(bar.index, bar.onset).rehearsal for bar in part.measures] == [None, "A", "A", "B"]


def test_a_part_with_fewer_bars() -> None:
    full = scored([Part("tempo=60 C4.w D4 E4"), Part("C4.w D4 E4")])
    cut = replace(full.parts[1], measures=full.parts[1].measures[:2], notes=full.parts[1].notes[:2])
    whole = replace(full, parts=(full.parts[0], cut))
    short = places(whole, 1)
    assert short.place(1, whole.parts[1].measures[1].onset).seconds == 4.0
    assert short.place(2, 0).measure is None
    spanning = short.place(0, 0, 5)
    assert (spanning.to_measure_index, spanning.to_bar) == (1, "2")


def test_a_place_over_several_bars() -> None:
    place = places(scored("C4.w D4 E4")).place(0, 0, 2)
    assert (place.measure, place.measure_index, place.to_measure, place.to_measure_index) == ("1", 0, "3", 2)
    assert places(scored("C4.w D4")).place(1, 4, 1).to_measure is None


def test_places_outside_are_empty() -> None:
    where = places(scored("C4.w"))
    assert where.place(-1, 0).measure is None
    assert where.place(7, 0).beat is None
