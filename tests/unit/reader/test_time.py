"""Where events stand. MusicXML 4.0, elements divisions, duration, backup, forward, chord, grace, voice, staff, rest, measure,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from xmlcheck.ticks import beat_text, decimal, quarters, resolution

from .build import START, attributes, backup, bar, file, forward, kinds, note, part, places, read_text, rest, score

THREE_FOUR = "<time><beats>3</beats><beat-type>4</beat-type></time>"


def divisions(text: str) -> str:
    return attributes(f"<divisions>{text}</divisions>")


def test_duration_counts_in_divisions() -> None:
    # Element divisions: how many divisions make a quarter note. With 2, a duration of 1 is an eighth note.
    found = score(bar(divisions("2"), note("C4", 1), note("D4", 2)))
    assert found.resolution == 2
    assert places(found.parts[0].notes) == [("C4", 0, 1), ("D4", 1, 2)]


def test_divisions_may_change_inside_a_part() -> None:
    found = score(
        bar(divisions("1"), note("C4", 1), divisions("3"), note("D4", 1), note("E4", 2), divisions("2"), note("F4", 2))
    )
    assert found.resolution == 6
    assert places(found.parts[0].notes) == [("C4", 0, 6), ("D4", 6, 2), ("E4", 8, 4), ("F4", 12, 6)]


def test_divisions_hold_over_barlines_and_are_each_parts_own() -> None:
    found = read_text(file(bar(divisions("4"), note("C4", 4)) + bar(note("D4", 4)), bar(divisions("6"), note("C4", 6))))
    assert found.resolution == 12
    assert places(found.parts[0].notes) == [("C4", 0, 12), ("D4", 12, 12)]
    assert places(found.parts[1].notes) == [("C4", 0, 12)]


def test_decimal_divisions_are_exact() -> None:
    # Data type divisions is a decimal: one and a half divisions a quarter make a duration of 1 two thirds of a quarter.
    found = score(bar(divisions("1.5"), note("C4", 1), note("D4", "0.5")))
    assert [Fraction(one.duration, found.resolution) for one in found.parts[0].notes] == [Fraction(2, 3), Fraction(1, 3)]


def test_decimal_durations_make_the_grid_finer() -> None:
    found = score(note("C4", "0.25"), note("D4", "0.125"), note("E4", "1.7"))
    assert [Fraction(one.duration, found.resolution) for one in found.parts[0].notes] == [
        Fraction(1, 4), Fraction(1, 8), Fraction(17, 10),
    ]  # fmt: skip
    assert not found.notices


def test_durations_on_no_common_grid_are_rounded_and_told() -> None:
    found = score(note("C4", "0.333333333333"), note("D4", "0.142857142857"))
    assert kinds(found) == ["resolution"]
    assert found.parts[0].notes[0].duration / found.resolution == pytest.approx(1 / 3, abs=1e-7)


def test_resolution_is_the_common_multiple() -> None:
    # Element divisions. Texts that are no positive number are passed over; a cap keeps numbers small.
    assert resolution(["4", "6", "x", "-1", "0"]) == (12, False)
    assert resolution(["1.5"]) == (3, False)
    assert resolution(["1000003", "999983"])[1] is True
    assert quarters(3, 12) == Fraction(1, 4)
    assert beat_text(Fraction(7, 3)) == "2+1/3"
    assert decimal("1e309") is None
    assert decimal("nan") is None


def test_backup_and_forward_move_the_place() -> None:
    # Elements backup and forward: they coordinate voices in one part.
    found = part(note("C5", 4, "<voice>1</voice>"), backup(4), forward(1), note("C4", 3, "<voice>2</voice>"))
    assert places(found.notes) == [("C5", 0, 4), ("C4", 1, 3)]
    assert [one.voice for one in found.notes] == ["1", "2"]


def test_a_second_voice_without_backup_goes_on() -> None:
    found = part(note("C5", 2, "<voice>1</voice>"), note("C4", 2, "<voice>2</voice>"))
    assert places(found.notes) == [("C5", 0, 2), ("C4", 2, 2)]


def test_backup_stops_at_the_start_of_its_bar() -> None:
    # Element backup: durations are not to cross measure boundaries.
    found = score(bar(START, note("C4", 2)), bar(note("D4", 1), backup(5), note("E4", 1)))
    assert places(found.parts[0].notes) == [("C4", 0, 2), ("D4", 2, 1), ("E4", 2, 1)]
    assert kinds(found) == ["backup"]


def test_chord_notes_start_with_the_note_before() -> None:
    # Element chord: an additional chord tone with the preceding note; it does not move the place and may be shorter.
    found = part(note("C4", 4), note("E4", 2, before="<chord/>"), note("G4", 4, before="<chord/>"), note("A4", 1))
    assert places(found.notes) == [("C4", 0, 4), ("E4", 0, 2), ("G4", 0, 4), ("A4", 4, 1)]
    assert [one.chord for one in found.notes] == [False, True, True, False]


def test_a_direction_may_stand_inside_a_chord() -> None:
    words = "<direction><direction-type><words>dolce</words></direction-type></direction>"
    found = part(note("C4", 2), words, note("E4", 2, before="<chord/>"))
    assert places(found.notes) == [("C4", 0, 2), ("E4", 0, 2)]


def test_a_chord_belongs_to_the_voice_of_its_first_note() -> None:
    found = part(note("C4", 2, "<voice>3</voice>"), note("E4", 2, before="<chord/>"))
    assert [one.voice for one in found.notes] == ["3", "3"]


def test_a_chord_note_without_a_note_before_it_is_a_note() -> None:
    found = score(bar(START, note("C4", 1)), bar(note("E4", 1, before="<chord/>"), note("F4", 1)))
    assert places(found.parts[0].notes) == [("C4", 0, 1), ("E4", 1, 1), ("F4", 2, 1)]
    assert kinds(found) == ["chord"]
    assert not found.parts[0].notes[1].chord


def test_grace_notes_take_no_time_and_stand_at_the_next_note() -> None:
    # Element grace: no duration. Document order places it before its main note.
    found = part(note("C4", 1), note("D5", "", before='<grace slash="yes"/>'), note("E5", "", before="<grace/>"), note("D4", 1))
    assert places(found.notes) == [("C4", 0, 1), ("D5", 1, 0), ("E5", 1, 0), ("D4", 1, 1)]
    assert [one.grace for one in found.notes] == [False, True, True, False]
    assert found.notes[1].named("grace")[0].get("slash") == "yes"


def test_grace_chords() -> None:
    # Element note: <chord/> follows <grace/>.
    found = part(note("C4", 1), note("D5", "", before="<grace/>"), note("F5", "", before="<grace/><chord/>"), note("E4", 1))
    assert places(found.notes) == [("C4", 0, 1), ("D5", 1, 0), ("F5", 1, 0), ("E4", 1, 1)]


def test_grace_notes_after_the_last_note_stay_at_the_end_of_the_bar() -> None:
    found = part(bar(START, note("C4", 4), note("D5", "", before='<grace steal-time-previous="25"/>')), bar(note("E4", 4)))
    assert places(found.notes) == [("C4", 0, 4), ("D5", 4, 0), ("E4", 4, 4)]
    assert [one.measure for one in found.notes] == [0, 0, 1]


def test_chord_after_a_grace_note_joins_the_main_note() -> None:
    found = part(note("C4", 2), note("D5", "", before="<grace/>"), note("E4", 2, before="<chord/>"), note("F4", 1))
    assert [one for one in places(found.notes) if one[0] == "E4"] == [("E4", 0, 2)]


def test_a_grace_note_with_a_duration_takes_none() -> None:
    found = score(note("D5", 2, before="<grace/>"), note("C4", 1))
    assert places(found.parts[0].notes) == [("D5", 0, 0), ("C4", 0, 1)]
    assert kinds(found) == ["grace"]


def test_missing_voice_and_staff_are_the_first() -> None:
    # Elements voice and staff.
    found = part(note("C4"), note("D4", 1, "<voice>melody</voice><staff>2</staff>"))
    assert [(one.voice, one.staff) for one in found.notes] == [("1", 1), ("melody", 2)]
    assert found.staves == 2


def test_events_are_in_order_of_onset_then_document() -> None:
    lower = note("C3", 1, "<voice>2</voice>") + note("D3", 1, "<voice>2</voice>")
    found = part(note("C5", 1) + note("E5", 1, before="<chord/>") + note("D5", 1) + backup(2) + lower)
    assert [str(one.written) for one in found.notes] == ["C5", "E5", "C3", "D5", "D3"]
    assert [one.anchor for one in found.notes] == sorted([one.anchor for one in found.notes[:3]]) + [
        one.anchor for one in found.notes[3:]
    ]


def test_rests() -> None:
    # Element rest: measure="yes" is a complete bar of rest, whatever its look. print-object="no" is not seen.
    found = part(
        bar(START, attributes(THREE_FOUR), rest(3, "<type>whole</type>", 'measure="yes"')),
        bar(note("C4", 1), rest(1, "<type>quarter</type><dot/>"), rest(1).replace("<note>", '<note print-object="no">')),
    )
    assert [(one.onset, one.duration, one.whole_measure, one.hidden) for one in found.rests] == [
        (0, 3, True, False), (4, 1, False, False), (5, 1, False, True),
    ]  # fmt: skip
    assert (found.rests[1].type, found.rests[1].dots) == ("quarter", 1)


def test_bar_numbers_are_texts() -> None:
    # Element measure: number is a token and may hold letters; text is what is shown; implicit bars show none.
    found = part(
        bar(START, note("C4"), attributes='number="X1"'),
        bar(note("C4"), attributes='number="12-0" text="12a"'),
        bar(note("C4"), attributes='number="12-0"'),
    )
    assert [(one.index, one.number, one.text) for one in found.measures] == [
        (0, "X1", "X1"),
        (1, "12-0", "12a"),
        (2, "12-0", "12-0"),
    ]


def test_multi_bar_rests_are_written_out() -> None:
    # Element multiple-rest: all its bars stand in the file.
    style = attributes("<measure-style><multiple-rest>3</multiple-rest></measure-style>")
    found = part(bar(START, style, rest(4)), bar(rest(4)), bar(rest(4)), bar(note("C4", 4)))
    assert [one.onset for one in found.notes] == [12]
    assert (found.styles[0].name, found.styles[0].count) == ("multiple-rest", 3)
