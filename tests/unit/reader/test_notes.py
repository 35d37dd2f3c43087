"""What a note is. MusicXML 4.0, element note and its children,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from xmlcheck.model import CUE, HIDDEN, OPTIONAL, SHAPED, SILENT, SMALL, Note

from .build import START, attributes, bar, kinds, note, part, places, score


def only(text: str) -> Note:
    return part(text).notes[0]


def flags(text: str) -> int:
    return only(text).flags


def notations(text: str) -> str:
    return f"<notations>{text}</notations>"


class TestPitch:
    def test_alter_sounds_and_the_sign_is_kept(self) -> None:
        # Elements alter and accidental: alter is the sound; the accidental is the printed sign, only where it is printed.
        found = only(note("B-0.5/4", 1, "<accidental>quarter-flat</accidental>"))
        assert (found.written.alter if found.written else None, found.sign) == (Decimal("-0.5"), "quarter-flat")

    def test_a_sign_alone_moves_nothing(self) -> None:
        found = only(note("B4", 1, "<accidental>slash-flat</accidental>"))
        assert (str(found.sounding), found.sign) == ("B4", "slash-flat")

    def test_alter_holds_without_a_repeated_sign_and_is_not_carried_on(self) -> None:
        found = part(note("F#4", 1, "<accidental>sharp</accidental>"), note("F#4"), note("F4"))
        assert [(str(one.sounding), one.sign) for one in found.notes] == [("F#4", "sharp"), ("F#4", ""), ("F4", "")]

    def test_plus_signs_are_numbers(self) -> None:
        assert str(only(note("F+1/4")).sounding) == "F#4"

    def test_a_cautionary_sign_is_told_apart(self) -> None:
        found = only(note("F4", 1, '<accidental cautionary="yes" parentheses="yes">natural</accidental>'))
        assert found.named("accidental")[0].get("cautionary") == "yes"
        assert only(note("F#4", 1, "<accidental>sharp</accidental>")).marks == ()

    def test_other_signs_keep_their_glyph(self) -> None:
        found = only(note("F4", 1, '<accidental smufl="accSagittal5CommaUp">other</accidental>'))
        assert (found.sign, found.named("accidental")[0].get("smufl")) == ("other", "accSagittal5CommaUp")

    def test_unpitched(self) -> None:
        # Element unpitched: no pitch; display-step and display-octave are the place on the staff.
        text = "<note><unpitched>{}</unpitched><duration>1</duration></note>"
        found = part(text.format("<display-step>E</display-step><display-octave>5</display-octave>"), text.format(""))
        first, second = found.notes
        assert (first.written, first.sounding, str(first.display), first.unpitched) == (None, None, "E5", True)
        assert second.display is None

    @pytest.mark.parametrize(
        "bad", ["<step>H</step><octave>4</octave>", "<step>C</step>", "<step>C</step><octave>x</octave>", ""]
    )
    def test_a_pitch_that_cannot_be_read_keeps_its_time(self, bad: str) -> None:
        found = score(f"<note><pitch>{bad}</pitch><duration>2</duration></note>", note("D4"))
        assert [(one.onset, str(one.written)) for one in found.parts[0].notes] == [(0, "None"), (2, "D4")]
        assert kinds(found) == ["pitch"]

    def test_a_note_of_nothing_keeps_its_time(self) -> None:
        found = score("<note><duration>2</duration></note>", note("D4"))
        assert [one.onset for one in found.parts[0].notes] == [0, 2]
        assert kinds(found) == ["note"]


class TestFlags:
    def test_cue_is_silent_whatever_its_size(self) -> None:
        # Element cue: a silent note; a small size alone (type/@size) still sounds.
        assert flags(note("C4", before="<cue/>")) == CUE
        assert flags(note("C4", 1, '<type size="full">quarter</type>', before="<cue/>")) == CUE
        assert flags(note("C4", 1, '<type size="cue">quarter</type>')) == SMALL
        assert flags(note("C4", 1, '<type size="grace-cue">quarter</type>')) == SMALL
        assert flags(note("C4", 1, '<type size="cue">quarter</type>', before="<cue/>")) == CUE

    def test_cue_grace_notes(self) -> None:
        found = part(note("D4", "", before="<grace/><cue/>"), note("C4")).notes[0]
        assert (found.grace, found.cue, found.duration) == (True, True, 0)

    def test_hidden_and_silent(self) -> None:
        # Attribute print-object; attributes attack and release, in divisions, change when the note starts and stops.
        assert flags(note("C4", attributes='print-object="no"')) == HIDDEN
        assert flags(note("C4", 1, "<notehead>none</notehead>", attributes='print-object="no"')) == HIDDEN | SILENT
        assert flags(note("C4", 1, "<notehead>none</notehead>")) == 0
        assert flags(note("C4", 2, attributes='release="-2"')) == SILENT
        assert flags(note("C4", 2, attributes='attack="1" release="-1"')) == SILENT
        assert flags(note("C4", 2, attributes='attack="1"')) == 0

    @pytest.mark.parametrize("head", ["slash", "x", "cross", "circle-x", "square", "rectangle", "cluster"])
    def test_heads_that_show_no_pitch(self, head: str) -> None:
        # Element notehead and data type notehead-value.
        found = only(note("C4", 1, f"<notehead>{head}</notehead>"))
        assert (found.flags, found.notehead) == (SHAPED, head)

    @pytest.mark.parametrize("head", ["diamond", "normal", "triangle", "do", "re", "mi", "fa", "so", "la", "ti", "circle dot"])
    def test_heads_that_do(self, head: str) -> None:
        assert flags(note("C4", 1, f"<notehead>{head}</notehead>")) == 0

    def test_parentheses_make_a_note_optional(self) -> None:
        assert flags(note("C4", 1, '<notehead parentheses="yes">normal</notehead>')) == OPTIONAL

    @pytest.mark.parametrize(
        # Data type staff-type: ossia and editorial staves are alternatives; an alternate staff shows the same music and is not
        # played; a cue staff is another part's music.
        ("kind", "expected"),
        [("ossia", OPTIONAL), ("editorial", OPTIONAL), ("alternate", SILENT), ("cue", CUE), ("regular", 0)],
    )
    def test_staff_types(self, kind: str, expected: int) -> None:
        details = attributes(f'<staves>2</staves><staff-details number="2"><staff-type>{kind}</staff-type></staff-details>')
        found = part(details, note("C4", 1, "<staff>1</staff>"), note("C4", 1, "<staff>2</staff>"))
        assert [one.flags for one in found.notes] == [0, expected]

    def test_ties_are_sound_and_tied_is_the_curve(self) -> None:
        # Elements tie and tied; let-ring is a curve only.
        found = part(
            note("C4", 1, '<tie type="start"/>' + notations('<tied type="start"/>')),
            note("C4", 1, '<tie type="stop"/><tie type="start"/>'),
            note("C4", 1, '<tie type="stop"/>'),
            note("C4", 1, notations('<tied type="let-ring"/>')),
        ).notes
        assert [(one.tie_start, one.tie_stop) for one in found] == [(True, False), (True, True), (False, True), (False, False)]
        assert [[mark.type for mark in one.named("tied")] for one in found] == [["start"], [], [], ["let-ring"]]


class TestLook:
    def test_type_and_dots_are_the_look_and_duration_the_sound(self) -> None:
        # Elements type, dot and duration: they may differ, as in swing.
        found = only(note("C4", 3, "<type>eighth</type><dot/><dot/>"))
        assert (found.duration, found.type, found.dots) == (3, "eighth", 2)

    def test_time_modification_is_the_product_of_nested_ratios(self) -> None:
        # Element time-modification: 3 in the time of 2 inside 7 in the time of 4 is 21 in 8.
        text = "<time-modification><actual-notes>21</actual-notes><normal-notes>8</normal-notes></time-modification>"
        outer = '<tuplet type="start" number="1" bracket="yes"><tuplet-actual><tuplet-number>7</tuplet-number></tuplet-actual></tuplet>'
        found = only(note("C4", 1, text + notations(outer + '<tuplet type="start" number="2"/>')))
        assert found.ratio == (21, 8)
        first, second = found.named("tuplet")
        assert (first.type, first.number, first.get("bracket"), first.get("tuplet-actual/tuplet-number")) == (
            "start",
            "1",
            "yes",
            "7",
        )
        assert second.number == "2"

    @pytest.mark.parametrize("numbers", [("0", "2"), ("3", "0"), ("x", "2"), ("-3", "2"), ("1e309", "2")])
    def test_a_ratio_of_nothing_is_none(self, numbers: tuple[str, str]) -> None:
        text = "<time-modification><actual-notes>{}</actual-notes><normal-notes>{}</normal-notes></time-modification>"
        assert only(note("C4", 1, text.format(*numbers))).ratio is None

    def test_missing_durations_are_read_from_the_look(self) -> None:
        triplet = "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
        found = score(
            bar(
                START.replace("1", "6"),
                note("C4", "", "<type>half</type><dot/>"),
                note("D4", "", "<type>eighth</type>" + triplet),
                note("E4", 6),
            )
        )
        assert places(found.parts[0].notes) == [("C4", 0, 18), ("D4", 18, 2), ("E4", 20, 6)]
        assert kinds(found) == ["duration"]
