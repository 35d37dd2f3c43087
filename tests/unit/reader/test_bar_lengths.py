"""How long bars are, so that the parts keep together. MusicXML 4.0, elements score-partwise, score-timewise, measure, rest,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from xmlcheck.model import Part

from .build import START, attributes, bar, file, note, part, read_text, rest

FOUR_FOUR = "<time><beats>4</beats><beat-type>4</beat-type></time>"
THREE_FOUR = "<time><beats>3</beats><beat-type>4</beat-type></time>"


def lengths(found: Part) -> list[int]:
    return [one.length for one in found.measures]


class TestBarLengths:
    """A measure is shared by all parts (elements score-partwise, score-timewise); its length follows from what is written."""

    def test_bars_follow_one_another_as_filled(self) -> None:
        # Element measure, attribute implicit: pickup bars are shorter than the meter, as are bars split at a repeat.
        found = part(
            bar(START, attributes(FOUR_FOUR), note("C4", 1), attributes='implicit="yes" number="0"'),
            bar(note("D4", 4)),
            bar(note("E4", 3)),
        )
        assert lengths(found) == [1, 4, 3]
        assert [one.onset for one in found.measures] == [0, 1, 5]
        assert found.measures[0].implicit
        assert found.measures[0].number == "0"

    def test_an_empty_bar_is_as_long_as_its_meter(self) -> None:
        found = part(bar(START, attributes(THREE_FOUR), note("C4", 3)), bar(), bar(note("D4", 3)))
        assert lengths(found) == [3, 3, 3]
        assert [one.filled for one in found.measures] == [3, 0, 3]

    def test_parts_keep_together(self) -> None:
        found = read_text(file(bar(START, note("C4", 4)) + bar(note("D4", 4)), bar(START, note("E4", 2)) + bar(note("F4", 4))))
        assert [one.notes[1].onset for one in found.parts] == [4, 4]
        assert [one.measures[0].filled for one in found.parts] == [4, 2]

    def test_a_part_that_spills_over_does_not_move_the_others(self) -> None:
        over = bar(START, attributes(FOUR_FOUR), note("C4", 5)) + bar(note("D4", 4))
        kept = bar(START, attributes(FOUR_FOUR), note("E4", 4)) + bar(note("F4", 4))
        found = read_text(file(over, kept))
        assert [one.notes[1].onset for one in found.parts] == [4, 4]
        assert found.parts[0].measures[0].filled == 5

    def test_rests_past_the_meter_make_no_bar_longer(self) -> None:
        found = part(bar(START, attributes(FOUR_FOUR), rest(4), rest(4)), bar(note("D4", 4)))
        assert lengths(found) == [4, 4]

    def test_a_cadenza_over_rests_is_as_long_as_it_is_written(self) -> None:
        solo = bar(START, attributes(FOUR_FOUR), *[note("C4", 1)] * 11) + bar(note("D4", 4))
        band = bar(START, attributes(FOUR_FOUR), rest(4, attributes='measure="yes"')) + bar(note("F4", 4))
        found = read_text(file(solo, band))
        assert [one.measures[1].onset for one in found.parts] == [11, 11]

    def test_a_pickup_is_not_filled_up_by_the_rests_of_others(self) -> None:
        pickup = 'implicit="yes" number="0"'
        tune = bar(START, attributes(FOUR_FOUR), note("C4", 1), attributes=pickup) + bar(note("D4", 4))
        rests = bar(START, attributes(FOUR_FOUR), rest(4, attributes='measure="yes"'), attributes=pickup) + bar(note("F4", 4))
        found = read_text(file(tune, rests))
        assert [one.measures[1].onset for one in found.parts] == [1, 1]

    def test_non_controlling_bars_go_by_themselves(self) -> None:
        # Element measure, attribute non-controlling: the left barline need not coincide with those of other parts.
        three = (
            bar(START, note("C4", 3)) + bar(note("D4", 3), attributes='number="2" non-controlling="yes"') + bar(note("E4", 3))
        )
        four = bar(START, note("C4", 4)) + bar(note("D4", 4)) + bar(note("E4", 4))
        found = read_text(file(three, four))
        assert [[one.onset for one in each.measures] for each in found.parts] == [[0, 3, 6], [0, 4, 8]]
        assert found.parts[0].measures[1].non_controlling
