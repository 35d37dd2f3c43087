"""Directions. MusicXML 4.0, elements direction, direction-type and its children, offset, harmony, print,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

import pytest

from xmlcheck.model import Mark

from .build import START, bar, direction, file, note, only_direction, part, read_text, score


class TestPlaces:
    def test_a_direction_stands_where_the_document_has_it(self) -> None:
        found = part(note("C4", 2), direction("<words>arco</words>"), note("D4", 2)).directions[0]
        assert (found.onset, found.position, found.measure) == (2, 2, 0)

    @pytest.mark.parametrize(("offset", "onset"), [("1", 3), ("-1", 1), ("-2", 0), ("+1", 3)])
    def test_offset_moves_the_look(self, offset: str, onset: int) -> None:
        # Element offset: in divisions, from the current place; it moves the sound only if its sound attribute says so.
        found = part(note("C4", 2), direction("<words>x</words>", f"<offset>{offset}</offset>"), note("D4", 2)).directions[0]
        assert (found.onset, found.position, found.sound_at) == (onset, 2, 2)
        found = part(
            note("C4", 2), direction("<words>x</words>", f'<offset sound="yes">{offset}</offset>'), note("D4", 2)
        ).directions[0]
        assert (found.onset, found.position, found.sound_at) == (onset, 2, onset)

    def test_an_offset_of_the_sound_moves_the_sound(self) -> None:
        found = part(
            note("C4", 2), direction("<words>x</words>", "<sound tempo='60'><offset>1</offset></sound>"), note("D4", 2)
        ).directions[0]
        assert (found.onset, found.sound_at) == (2, 3)

    def test_an_offset_before_the_start_of_the_piece_is_its_start(self) -> None:
        assert only_direction(direction("<words>x</words>", "<offset>-3</offset>")).onset == 0

    def test_staff_voice_and_placement(self) -> None:
        found = part(direction("<words>x</words>", "<voice>2</voice><staff>2</staff>", 'placement="below"'), note("C4"))
        assert (found.directions[0].staff, found.directions[0].voice, found.directions[0].placement) == (2, "2", "below")
        assert found.voiced_directions
        plain = part(direction("<words>x</words>"), note("C4"))
        assert (plain.directions[0].staff, plain.directions[0].voice, plain.voiced_directions) == (0, "", False)

    def test_directions_are_in_order_of_place(self) -> None:
        found = part(
            note("C4", 2),
            direction("<words>late</words>"),
            direction("<words>early</words>", "<offset>-1</offset>"),
            note("D4", 2),
        )
        assert [one.words for one in found.directions] == ["early", "late"]


class TestTexts:
    def test_words_keep_their_characters(self) -> None:
        # Element words: text; white space is folded only for reading it as a phrase.
        found = only_direction(direction("<words>  sul\n pont. </words><words>poco a poco</words>"))
        assert [mark.value for mark in found.marks] == ["  sul\n pont. ", "poco a poco"]
        assert found.words == "sul pont. poco a poco"

    def test_words_of_several_direction_types(self) -> None:
        found = only_direction(direction("<words>to</words>", "<direction-type><words>Piccolo</words></direction-type>"))
        assert found.words == "to Piccolo"

    def test_comments_and_entities_in_words(self) -> None:
        # An entity known only to a DTD that is not fetched stays a node in the tree (XML 1.0, section 4.1).
        head = '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">'
        text = file(bar(START, direction("<words>d&eacute;tach<!-- sic -->&eacute; <?x y?>bow</words>"), note("C4")))
        assert read_text(head + text).parts[0].directions[0].words == "détaché bow"

    def test_rehearsal_marks(self) -> None:
        assert only_direction(direction("<rehearsal>B</rehearsal>")).named("rehearsal")[0].value == "B"

    def test_lines(self) -> None:
        # Elements wedge, dashes, bracket, pedal: type and number.
        found = only_direction(
            direction('<wedge type="crescendo" number="1"/>', '<direction-type><dashes type="start" number="2"/></direction-type>'
            '<direction-type><pedal type="change" line="yes"/></direction-type>')
        )  # fmt: skip
        assert [(mark.name, mark.type, mark.number) for mark in found.marks] == [
            ("wedge", "crescendo", "1"),
            ("dashes", "start", "2"),
            ("pedal", "change", ""),
        ]
        assert found.marks[2].get("line") == "yes"

    def test_harp_pedals(self) -> None:
        # Elements harp-pedals and pedal-tuning: one step and alteration a pedal.
        pedals = "".join(
            f"<pedal-tuning><pedal-step>{s}</pedal-step><pedal-alter>{a}</pedal-alter></pedal-tuning>"
            for s, a in zip("DCBEFGA", (0, -1, -1, 0, 1, 0, 0), strict=True)
        )
        found = only_direction(direction(f"<harp-pedals>{pedals}</harp-pedals>")).marks[0]
        assert found.extra == (("D", "0"), ("C", "-1"), ("B", "-1"), ("E", "0"), ("F", "1"), ("G", "0"), ("A", "0"))

    def test_percussion_and_mutes(self) -> None:
        assert (
            only_direction(direction("<percussion><stick><stick-type>yarn</stick-type></stick></percussion>"))
            .marks[0]
            .get("stick/stick-type")
            == "yarn"
        )
        assert only_direction(direction('<string-mute type="on"/>')).marks[0].type == "on"

    def test_chord_symbols_have_no_duration(self) -> None:
        text = "<harmony><root><root-step>C</root-step></root><kind text='m7'>minor-seventh</kind>"
        text += "<offset>1</offset><staff>1</staff></harmony>"
        found = only_direction(text)
        assert (found.onset, found.staff, found.marks[0].group, found.marks[0].value) == (1, 1, "harmony", "minor-seventh")
        assert (found.marks[0].get("root/root-step"), found.marks[0].get("kind@text")) == ("C", "m7")
        assert found.words == ""

    def test_a_new_part_name(self) -> None:
        # Elements print and part-name-display: as at a change of instrument.
        found = only_direction(
            "<print new-system='yes'><part-name-display><display-text>Alto Sax</display-text></part-name-display></print>"
        )
        assert found.marks == (Mark("print", "part-name-display", "", "Alto Sax"),)
        assert part("<print new-page='yes'/>", note("C4")).directions == ()


class TestOwnAnnotations:
    OURS = (
        '<direction placement="above"><direction-type><words>[check 12] below open string</words></direction-type></direction>'
    )

    def test_marked_annotations_are_passed_over_and_counted(self) -> None:
        found = part(note("C4"), "<?xmlcheck begin?>" + direction("<words>anything</words>") + "<?xmlcheck end?>", note("D4"))
        plain = part(note("C4"), direction("<words>anything</words>"), note("D4"))
        assert found.directions == ()
        assert len(plain.directions) == 1
        assert found.notes == plain.notes

    def test_annotations_whose_instructions_are_lost_are_known_by_their_words(self) -> None:
        found = part(note("C4"), self.OURS, note("D4"))
        assert found.directions == ()
        assert [one.anchor for one in found.notes] == [3, 5]

    def test_an_annotation_that_is_not_closed_hides_nothing(self) -> None:
        found = part("<?xmlcheck begin?>", note("C4"), "<?other end?>", note("D4"))
        assert len(found.notes) == 2

    def test_a_field_of_ours_is_passed_over(self) -> None:
        field = '<miscellaneous-field name="{}">1</miscellaneous-field>'
        text = "<identification><miscellaneous>{}<?xmlcheck begin?>{}<?xmlcheck end?></miscellaneous></identification>"
        found = score(note("C4"), head=text.format(field.format("theirs"), field.format("ours")))
        assert found.fields == (("theirs", "1"),)
        whole = "<?xmlcheck begin?><identification><miscellaneous>{}</miscellaneous></identification><?xmlcheck end?>"
        assert score(note("C4"), head=whole.format(field.format("ours"))).fields == ()
