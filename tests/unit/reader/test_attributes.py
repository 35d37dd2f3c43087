"""Keys, times, clefs, tunings, bar styles and barlines. MusicXML 4.0, elements attributes, key, time, clef, staff-details,
scordatura, measure-style, barline, https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from .build import START, attributes, backup, bar, kinds, note, part, score


class TestKeys:
    def test_fifths_and_mode(self) -> None:
        # Elements fifths (flats are negative; more than 7 are legal) and mode.
        found = part(
            attributes("<key><fifths>-3</fifths><mode>minor</mode></key>"),
            note("C4", 4),
            attributes("<key><fifths>9</fifths></key>"),
        )
        assert [(one.onset, one.fifths, one.mode, one.staff) for one in found.keys] == [(0, -3, "minor", 0), (4, 9, "", 0)]

    def test_a_key_of_one_staff(self) -> None:
        found = part(attributes('<key number="2"><fifths>1</fifths></key>'), note("C4"))
        assert found.keys[0].staff == 2

    def test_non_traditional_keys(self) -> None:
        # Elements key-step, key-alter (decimal semitones) and key-accidental; the key changes no <pitch>.
        text = "<key><key-step>B</key-step><key-alter>-0.5</key-alter><key-accidental>quarter-flat</key-accidental>"
        text += "<key-step>F</key-step><key-alter>1</key-alter></key>"
        found = part(attributes(text), note("B4"))
        assert found.keys[0].fifths is None
        assert found.keys[0].alters == (("B", Decimal("-0.5"), "quarter-flat"), ("F", Decimal(1), ""))
        assert str(found.notes[0].sounding) == "B4"

    def test_a_key_that_is_no_number(self) -> None:
        found = score(attributes("<key><fifths>many</fifths></key>"), note("C4"))
        assert found.parts[0].keys[0].fifths is None
        assert kinds(found) == ["number"]


class TestTimes:
    @pytest.mark.parametrize(
        ("text", "beats", "quarters"),
        [
            ("<beats>4</beats><beat-type>4</beat-type>", (("4", 4),), Fraction(4)),
            ("<beats>6</beats><beat-type>8</beat-type>", (("6", 8),), Fraction(3)),
            ("<beats>3+2</beats><beat-type>8</beat-type>", (("3+2", 8),), Fraction(5, 2)),
            # Element time: several pairs of beats and beat-type add up.
            (
                "<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type>",
                (("2", 4), ("3", 8)),
                Fraction(7, 2),
            ),
            ("<senza-misura/>", (), None),
        ],
    )
    def test_meters(self, text: str, beats: tuple[tuple[str, int], ...], quarters: Fraction | None) -> None:
        found = score(attributes(f"<time>{text}</time>"), note("C4"))
        one = found.parts[0].times[0]
        assert (one.beats, one.quarters, one.staff) == (beats, quarters, 0)
        assert not found.notices

    @pytest.mark.parametrize(
        "text", ["<beats>x</beats><beat-type>4</beat-type>", "<beats>4</beats><beat-type>0</beat-type>", "<beats>4</beats>", ""]
    )
    def test_meters_that_cannot_be_read(self, text: str) -> None:
        found = score(attributes(f"<time>{text}</time>"), note("C4"))
        assert found.parts[0].times[0].quarters is None

    def test_an_interchangeable_meter_adds_nothing(self) -> None:
        # Element interchangeable: the second of two meters that change places.
        text = "<beats>3</beats><beat-type>4</beat-type><interchangeable><beats>6</beats><beat-type>8</beat-type></interchangeable>"
        assert part(attributes(f"<time>{text}</time>"), note("C4")).times[0].quarters == 3


class TestClefs:
    @pytest.mark.parametrize(("sign", "line"), [("G", 2), ("F", 4), ("C", 3), ("TAB", 5), ("percussion", 0), ("jianpu", 0)])
    def test_lines_that_are_not_given(self, sign: str, line: int) -> None:
        # Element line: standard values are 2 for G, 4 for F and 3 for C; 5 for TAB.
        assert part(attributes(f"<clef><sign>{sign}</sign></clef>"), note("C4")).clefs[0].line == line

    def test_place_and_staff(self) -> None:
        # Element attributes: a clef change in the middle of a bar is at its place in time. Attribute number: 1 if absent.
        bass = attributes('<clef number="2"><sign>F</sign><line>4</line></clef>')
        found = part(
            note("C4", 2),
            bass,
            note("C3", 2),
            backup(4),
            attributes("<clef><sign>C</sign><line>4</line></clef>"),
            note("E4", 4),
        )
        assert [(one.onset, one.staff, one.sign, one.line) for one in found.clefs] == [(0, 1, "C", 4), (2, 2, "F", 4)]

    def test_additional_clefs_do_not_replace_the_clef(self) -> None:
        # Attribute additional: a clef that stands on the staff beside the one in force, as for a cue.
        assert part(attributes('<clef additional="yes"><sign>F</sign></clef>'), note("C4")).clefs == ()


class TestTunings:
    def test_staff_tuning_counts_lines_from_the_lowest_up(self) -> None:
        # Elements staff-tuning (line 1 is the lowest), capo and staff-lines; more strings than lines are legal.
        lines = "".join(
            f'<staff-tuning line="{n}"><tuning-step>{s}</tuning-step><tuning-octave>{o}</tuning-octave></staff-tuning>'
            for n, s, o in ((1, "E", 2), (2, "A", 2), (13, "D", 3))
        )
        found = part(
            attributes(f"<staff-details><staff-lines>6</staff-lines>{lines}<capo>5</capo></staff-details>"), note("C4")
        ).tunings[0]
        assert [(number, str(pitch)) for number, pitch in found.strings] == [(1, "E2"), (2, "A2"), (13, "D3")]
        assert (found.by_line, found.capo, found.lines, found.staff) == (True, 5, 6, 1)

    def test_scordatura_counts_strings_from_the_highest_down(self) -> None:
        # Elements scordatura and accord: string 1 is the highest; it holds from its place on.
        accord = '<accord string="4"><tuning-step>A</tuning-step><tuning-alter>-0.5</tuning-alter><tuning-octave>3</tuning-octave></accord>'
        found = part(
            note("C4", 4),
            f"<direction><direction-type><scordatura>{accord}</scordatura></direction-type></direction>",
            note("D4"),
        )
        one = found.tunings[0]
        assert (one.onset, one.by_line, [(number, str(pitch)) for number, pitch in one.strings]) == (4, False, [(4, "A3-50c")])
        assert found.directions[0].marks[0].name == "scordatura"

    def test_a_tuning_that_cannot_be_read_is_left_out(self) -> None:
        text = '<staff-details><staff-tuning line="1"><tuning-step>X</tuning-step></staff-tuning></staff-details>'
        found = score(attributes(text), note("C4"))
        assert found.parts[0].tunings == ()
        assert kinds(found) == ["tuning"]


class TestStyles:
    @pytest.mark.parametrize(
        ("text", "name", "kind", "count"),
        [
            # Elements multiple-rest, measure-repeat (text: bars of the pattern), beat-repeat and slash.
            ("<multiple-rest>4</multiple-rest>", "multiple-rest", "", 4),
            ('<measure-repeat type="start">2</measure-repeat>', "measure-repeat", "start", 2),
            ('<measure-repeat type="stop"/>', "measure-repeat", "stop", 0),
            ('<beat-repeat type="start" slashes="1"/>', "beat-repeat", "start", 1),
            ('<slash type="start"><slash-type>quarter</slash-type></slash>', "slash", "start", 0),
        ],
    )
    def test_bar_styles(self, text: str, name: str, kind: str, count: int) -> None:
        found = part(note("C4", 2), attributes(f'<measure-style number="1">{text}</measure-style>'), note("C4")).styles[0]
        assert (found.onset, found.staff, found.name, found.type, found.count) == (2, 1, name, kind, count)


class TestBarlines:
    def test_repeats_and_endings(self) -> None:
        # Elements repeat (times is 2 if absent) and ending (number may be a list).
        left = '<barline location="left"><ending number="1,2" type="start"/><repeat direction="forward"/></barline>'
        right = '<barline location="right"><bar-style>light-heavy</bar-style><ending number="1,2" type="stop"/>'
        right += '<repeat direction="backward" times="3" after-jump="yes"/></barline>'
        first, second = part(bar(START, left, note("C4", 4), right), bar(note("C4", 4))).barlines
        assert (first.onset, first.location, first.repeat, first.times, first.ending) == (
            0,
            "left",
            "forward",
            2,
            ("1,2", "start"),
        )
        assert (second.onset, second.style, second.repeat, second.times, second.ending) == (
            4,
            "light-heavy",
            "backward",
            3,
            ("1,2", "stop"),
        )
        assert second.marks == ("after-jump",)

    def test_signs_on_barlines(self) -> None:
        found = part(note("C4", 4), "<barline segno='A'><segno/><fermata/><fermata type='inverted'/></barline>").barlines[0]
        assert (found.location, found.marks) == ("right", ("segno", "fermata", "fermata"))

    def test_a_middle_barline_stands_where_it_is_written(self) -> None:
        found = part(
            note("C4", 2), '<barline location="middle"><bar-style>dashed</bar-style></barline>', note("C4", 2)
        ).barlines[0]
        assert found.onset == 2

    @pytest.mark.parametrize("times", ["x", "-1", "1e309"])
    def test_times_that_cannot_be_read(self, times: str) -> None:
        found = score(note("C4"), f'<barline><repeat direction="backward" times="{times}"/></barline>')
        assert found.parts[0].barlines[0].times == 2
        assert kinds(found) == ["number"]
