"""Written to sounding pitch. MusicXML 4.0, elements transpose, diatonic, chromatic, octave-change, double, for-part,
concert-score, clef-octave-change and octave-shift, https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from .build import START, attributes, backup, bar, file, kinds, note, part, read_text, score, sounding, transpose


@pytest.mark.parametrize(
    ("written", "interval", "expected"),
    [
        ("D5", transpose("-2", "-1"), "C5"),  # element transpose: what is added to the written pitch to get the sounding one
        ("C4", transpose("0", "0", "-1"), "C3"),  # element octave-change: octaves to be added to the pitch
        ("C4", transpose("-2", "-1", "-1"), "Bb2"),  # chromatic leaves octaves out, which octave-change adds
        ("A4", transpose("-9", "-5"), "C4"),
        ("C5", transpose("0", "0", "1"), "C6"),
        ("F#4", transpose("3", "2"), "A4"),
        ("C4", transpose("-7", "-4"), "F3"),
    ],
)
def test_written_plus_transpose_is_sounding(written: str, interval: str, expected: str) -> None:
    found = part(attributes(interval), note(written)).notes[0]
    assert str(found.written) == written
    assert str(found.sounding) == expected


def test_without_transpose_the_written_pitch_sounds() -> None:
    found = part(note("D5")).notes[0]
    assert found.sounding == found.written


def test_missing_diatonic_is_no_failure() -> None:
    # Element diatonic is optional; element chromatic alone gives the sound.
    assert sounding(part(attributes(transpose("-2")), note("D5"), note("C5")).notes) == ["C5", "Bb4"]


def test_octaves_as_semitones_are_read_and_told() -> None:
    # Element chromatic: it does not include octave-change values. Sequencer exports write 12 all the same.
    found = score(attributes(transpose("-12")), note("C4"))
    assert sounding(found.parts[0].notes) == ["C3"]
    assert kinds(found) == ["transpose-octave"]


def test_steps_that_contradict_the_semitones_are_left_out() -> None:
    found = score(attributes(transpose("-12", "0")), note("C4"))
    assert sounding(found.parts[0].notes) == ["C3"]
    assert "transpose" in kinds(found)


def test_chromatic_may_be_decimal() -> None:
    # Data type semitones: decimal. A quarter tone lower:
    found = part(attributes(transpose("-0.5", "0")), note("C4")).notes[0]
    assert found.sounding is not None
    assert found.sounding.cents == 5950


def test_transposition_holds_until_the_next() -> None:
    found = part(
        bar(START, attributes(transpose("-2", "-1")), note("D5"), attributes(transpose("-9", "-5")), note("D5")),
        bar(note("D5")),
    )
    assert sounding(found.notes) == ["C5", "F4", "F4"]
    assert [one.chromatic for one in found.transposes] == [-2, -9]


def test_transposition_holds_in_score_order_not_in_document_order() -> None:
    # Element attributes: a change in the middle of a bar is at its place in time; after a backup, music before it is not touched.
    found = part(
        note("D5", 2),
        attributes(transpose("-2", "-1")),
        note("D5", 2),
        backup(4),
        note("D4", 2, "<voice>2</voice>"),
        note("D4", 2),
    )
    assert sorted((one.onset, str(one.sounding)) for one in found.notes) == [(0, "D4"), (0, "D5"), (2, "C4"), (2, "C5")]


def test_change_at_a_barline_leaves_the_grace_note_before_it_alone() -> None:
    after_grace = note("D5", "", before="<grace/>")
    found = part(bar(START, note("E5", 4), after_grace), bar(attributes(transpose("-2", "-1")), note("D5")))
    assert sounding(found.notes) == ["E5", "D5", "C5"]


def test_transposition_of_one_staff() -> None:
    # Attribute number: staff numbers from top to bottom; if absent, all staves of the part.
    upper, lower = "<staff>1</staff>", "<staff>2</staff>"
    one = attributes("<staves>2</staves>" + transpose("-2", "-1", attributes='number="2"'))
    found = part(one, note("D5", 1, upper), backup(1), note("D4", 1, lower))
    assert sounding(found.notes) == ["D5", "C4"]
    both = part(attributes("<staves>2</staves>" + transpose("-2", "-1")), note("D5", 1, upper), backup(1), note("D4", 1, lower))
    assert sounding(both.notes) == ["C5", "C4"]


@pytest.mark.parametrize(
    ("double", "second"), [("<double/>", "C3"), ('<double above="yes"/>', "C5"), ('<double above="no"/>', "C3")]
)
def test_double_adds_a_second_pitch(double: str, second: str) -> None:
    # Element double: the music is doubled one octave from what is written, below unless above is yes.
    found = part(attributes(transpose("0", "0", "", double)), note("C4")).notes[0]
    assert (str(found.sounding), str(found.doubled)) == ("C4", second)


def test_double_is_an_octave_from_what_sounds() -> None:
    found = part(attributes(transpose("-2", "-1", "", "<double/>")), note("D5")).notes[0]
    assert (str(found.sounding), str(found.doubled)) == ("C5", "C4")


def test_octave_clef_never_moves_the_pitch() -> None:
    # Element clef-octave-change: where the pitch stands on the staff; <pitch> is the pitch.
    clef = "<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>"
    found = part(attributes(clef), note("C4"))
    assert sounding(found.notes) == ["C4"]
    assert (found.clefs[0].sign, found.clefs[0].line, found.clefs[0].octave) == ("G", 2, -1)


def test_octave_shift_never_moves_the_pitch() -> None:
    # Element octave-shift: the line says how the notes are displayed; <pitch> is unchanged by it.
    line = '<direction><direction-type><octave-shift type="{}" size="8"/></direction-type></direction>'
    found = part(line.format("down"), note("C6"), line.format("stop"))
    assert sounding(found.notes) == ["C6"]
    marks = [mark for one in found.directions for mark in one.named("octave-shift")]
    assert [(mark.type, mark.get("size")) for mark in marks] == [("down", "8"), ("stop", "8")]


def test_concert_score() -> None:
    # Elements concert-score and for-part: pitches are concert, octaves aside; for-part tells how the player's part is written.
    later = "<for-part><part-clef><sign>F</sign><line>4</line></part-clef><part-transpose><diatonic>-1</diatonic>"
    later += "<chromatic>-2</chromatic><octave-change>-1</octave-change></part-transpose></for-part>"
    found = score(attributes(later), note("C3"), head="<defaults><concert-score/></defaults>")
    assert found.concert
    assert sounding(found.parts[0].notes) == ["C3"]
    one = found.parts[0].transposes[0]
    assert (one.for_part, one.semitones, one.part_clef) == (True, Decimal(-14), ("F", 4, 0))
    written = found.parts[0].notes[0].sounding
    assert written is not None
    assert str(written.moved(-one.chromatic, -(one.diatonic or 0), -one.octave)) == "D4"


def test_concert_score_with_an_octave_instrument() -> None:
    found = score(attributes(transpose("0", "0", "1")), note("C5"), head="<defaults><concert-score/></defaults>")
    assert sounding(found.parts[0].notes) == ["C6"]


def test_parts_have_their_own_transposition() -> None:
    text = file(bar(START, attributes(transpose("-2", "-1")), note("D5")), bar(START, note("D5")))
    assert [sounding(one.notes) for one in read_text(text).parts] == [["C5"], ["D5"]]


@pytest.mark.parametrize("chromatic", ["", "two", "1e309", "-1000"])
def test_bad_transposition_is_read_as_none(chromatic: str) -> None:
    found = score(attributes(transpose(chromatic, "-1")), note("D5"))
    assert "transpose" in kinds(found)
    assert len(found.parts[0].notes) == 1
