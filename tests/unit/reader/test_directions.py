"""Directions, playback data and tempo. MusicXML 4.0, elements direction, words, offset, sound, metronome, per-minute, harmony,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from xmlcheck.model import Direction, InstrumentChange, Mark, Sound
from xmlcheck.reader.tempo import per_minute

from .build import START, bar, file, kinds, note, part, read_text, score


def direction(inside: str = "", after: str = "", attributes: str = "") -> str:
    kinds = f"<direction-type>{inside}</direction-type>" if inside else ""
    return f"<direction {attributes}>{kinds}{after}</direction>"


def only(text: str) -> Direction:
    (found,) = part(text, note("C4", 4)).directions
    return found


def sound(text: str) -> Sound:
    found = only(direction("<words/>", text)).sound
    assert found is not None
    return found


class TestPlaces:
    def test_a_direction_stands_where_the_document_has_it(self) -> None:
        found = part(note("C4", 2), direction("<words>arco</words>"), note("D4", 2)).directions[0]
        assert (found.onset, found.position, found.measure) == (2, 2, 0)

    @pytest.mark.parametrize(("offset", "onset"), [("1", 3), ("-1", 1), ("-2", 0), ("+1", 3)])
    def test_offset_moves_the_look(self, offset: str, onset: int) -> None:
        # Element offset: in divisions, from the current place; it moves the sound only if its sound attribute says so.
        found = part(note("C4", 2), direction("<words>x</words>", f"<offset>{offset}</offset>"), note("D4", 2)).directions[0]
        assert (found.onset, found.position, found.sound_at) == (onset, 2, 2)
        found = part(note("C4", 2), direction("<words>x</words>", f'<offset sound="yes">{offset}</offset>'), note("D4", 2)).directions[0]
        assert (found.onset, found.position, found.sound_at) == (onset, 2, onset)

    def test_an_offset_of_the_sound_moves_the_sound(self) -> None:
        found = part(note("C4", 2), direction("<words>x</words>", "<sound tempo='60'><offset>1</offset></sound>"), note("D4", 2)).directions[0]
        assert (found.onset, found.sound_at) == (2, 3)

    def test_an_offset_before_the_start_of_the_piece_is_its_start(self) -> None:
        assert only(direction("<words>x</words>", "<offset>-3</offset>")).onset == 0

    def test_staff_voice_and_placement(self) -> None:
        found = part(direction("<words>x</words>", "<voice>2</voice><staff>2</staff>", 'placement="below"'), note("C4"))
        assert (found.directions[0].staff, found.directions[0].voice, found.directions[0].placement) == (2, "2", "below")
        assert found.voiced_directions
        plain = part(direction("<words>x</words>"), note("C4"))
        assert (plain.directions[0].staff, plain.directions[0].voice, plain.voiced_directions) == (0, "", False)

    def test_directions_are_in_order_of_place(self) -> None:
        found = part(note("C4", 2), direction("<words>late</words>"), direction("<words>early</words>", "<offset>-1</offset>"), note("D4", 2))
        assert [one.words for one in found.directions] == ["early", "late"]


class TestTexts:
    def test_words_keep_their_characters(self) -> None:
        # Element words: text; white space is folded only for reading it as a phrase.
        found = only(direction("<words>  sul\n pont. </words><words>poco a poco</words>"))
        assert [mark.value for mark in found.marks] == ["  sul\n pont. ", "poco a poco"]
        assert found.words == "sul pont. poco a poco"

    def test_words_of_several_direction_types(self) -> None:
        found = only(direction("<words>to</words>", "<direction-type><words>Piccolo</words></direction-type>"))
        assert found.words == "to Piccolo"

    def test_comments_and_entities_in_words(self) -> None:
        # An entity known only to a DTD that is not fetched stays a node in the tree (XML 1.0, section 4.1).
        head = '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">'
        text = file(bar(START, direction("<words>d&eacute;tach<!-- sic -->&eacute; <?x y?>bow</words>"), note("C<!-- -->4".replace("<!-- -->", ""))))
        assert read_text(head + text).parts[0].directions[0].words == "détaché bow"

    def test_rehearsal_marks(self) -> None:
        assert only(direction("<rehearsal>B</rehearsal>")).named("rehearsal")[0].value == "B"

    def test_lines(self) -> None:
        # Elements wedge, dashes, bracket, pedal: type and number.
        found = only(
            direction('<wedge type="crescendo" number="1"/>', '<direction-type><dashes type="start" number="2"/></direction-type>'
            '<direction-type><pedal type="change" line="yes"/></direction-type>')
        )  # fmt: skip
        assert [(mark.name, mark.type, mark.number) for mark in found.marks] == [("wedge", "crescendo", "1"), ("dashes", "start", "2"), ("pedal", "change", "")]
        assert found.marks[2].get("line") == "yes"

    def test_harp_pedals(self) -> None:
        # Elements harp-pedals and pedal-tuning: one step and alteration a pedal.
        pedals = "".join(f"<pedal-tuning><pedal-step>{s}</pedal-step><pedal-alter>{a}</pedal-alter></pedal-tuning>" for s, a in zip("DCBEFGA", (0, -1, -1, 0, 1, 0, 0), strict=True))
        found = only(direction(f"<harp-pedals>{pedals}</harp-pedals>")).marks[0]
        assert found.extra == (("D", "0"), ("C", "-1"), ("B", "-1"), ("E", "0"), ("F", "1"), ("G", "0"), ("A", "0"))

    def test_percussion_and_mutes(self) -> None:
        assert only(direction("<percussion><stick><stick-type>yarn</stick-type></stick></percussion>")).marks[0].get("stick/stick-type") == "yarn"
        assert only(direction('<string-mute type="on"/>')).marks[0].type == "on"

    def test_chord_symbols_have_no_duration(self) -> None:
        text = "<harmony><root><root-step>C</root-step></root><kind text='m7'>minor-seventh</kind><offset>1</offset><staff>1</staff></harmony>"
        found = only(text)
        assert (found.onset, found.staff, found.marks[0].group, found.marks[0].value) == (1, 1, "harmony", "minor-seventh")
        assert (found.marks[0].get("root/root-step"), found.marks[0].get("kind@text")) == ("C", "m7")
        assert found.words == ""

    def test_a_new_part_name(self) -> None:
        # Elements print and part-name-display: as at a change of instrument.
        found = only("<print new-system='yes'><part-name-display><display-text>Alto Sax</display-text></part-name-display></print>")
        assert found.marks == (Mark("print", "part-name-display", "", "Alto Sax"),)
        assert part("<print new-page='yes'/>", note("C4")).directions == ()


class TestOwnAnnotations:
    OURS = '<direction placement="above"><direction-type><words>[check 12] below open string</words></direction-type></direction>'

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


class TestSound:
    def test_tempo_is_quarter_notes_a_minute(self) -> None:
        assert sound('<sound tempo="72.5"/>').tempo == Decimal("72.5")

    @pytest.mark.parametrize(("tempo", "told"), [("0", []), ("fast", ["tempo"]), ("-4", ["tempo"]), ("1e400", ["tempo"])])
    def test_no_tempo(self, tempo: str, told: list[str]) -> None:
        # Element sound: a tempo of 0 asks the user for one, so it is none.
        found = score(direction("<words>x</words>", f'<sound tempo="{tempo}"/>'), note("C4"))
        data = found.parts[0].directions[0].sound
        assert data is not None
        assert data.tempo is None
        assert kinds(found) == told

    def test_a_bare_sound_is_a_direction_without_marks(self) -> None:
        found = part(note("C4", 2), '<sound tempo="60"><offset>1</offset></sound>', note("D4", 2)).directions[0]
        assert (found.onset, found.sound_at, found.marks, found.anchor) == (3, 3, (), -1)
        assert found.sound is not None
        assert found.sound.tempo == 60

    def test_jumps(self) -> None:
        # Element sound: dacapo, dalsegno, tocoda, segno, coda, fine and forward-repeat carry the playback; the signs do not.
        found = sound('<sound dacapo="yes" tocoda="1" segno="A" fine="yes" forward-repeat="yes" time-only="2" id="x"/>')
        assert [found.get(name) for name in ("dacapo", "tocoda", "segno", "fine", "forward-repeat", "time-only")] == ["yes", "1", "A", "yes", "yes", "2"]
        assert found.get("id") == ""

    def test_instrument_changes(self) -> None:
        # Element instrument-change: what is not given stays as it was.
        found = sound('<sound><instrument-change id="I2"><instrument-sound>wind.reed.saxophone.alto</instrument-sound><solo/></instrument-change></sound>')
        assert found.changes == (InstrumentChange("I2", "wind.reed.saxophone.alto", "solo"),)

    def test_play_program_and_swing(self) -> None:
        # Elements play, midi-instrument and swing.
        found = sound(
            '<sound pizzicato="yes"><midi-instrument id="I1"><midi-program>46</midi-program></midi-instrument><play id="I1"><mute>practice</mute>'
            '<other-play type="technique">bisbigliando</other-play></play><swing><first>2</first><second>1</second></swing></sound>'
        )
        assert found.get("pizzicato") == "yes"
        assert found.plays == (
            ("midi-program", "46"), ("id", "I1"), ("mute", "practice"), ("other-play", "technique: bisbigliando"), ("swing", "2:1"),
        )  # fmt: skip


class TestMetronome:
    @pytest.mark.parametrize(
        ("unit", "dots", "text", "low", "high"),
        [
            ("quarter", 0, "60", "60", ""),
            ("quarter", 1, "40", "60", ""),  # a dotted quarter is one and a half quarters
            ("half", 0, "60", "120", ""),
            ("eighth", 0, "132", "66", ""),
            ("quarter", 0, "c. 60", "60", ""),
            ("quarter", 0, "60-66", "60", "66"),
            ("half", 0, "ca. 54 – 58", "108", "116"),
            ("quarter", 0, "66,5", "66.5", ""),
            ("quarter", 0, "", "", ""),
            ("quarter", 0, "fast", "", ""),
            ("quarter", 0, "0", "", ""),
            ("unit of no kind", 0, "60", "", ""),
        ],
    )
    def test_quarters_a_minute(self, unit: str, dots: int, text: str, low: str, high: str) -> None:
        # Elements metronome, beat-unit and per-minute, which is text.
        inside = f"<beat-unit>{unit}</beat-unit>{'<beat-unit-dot/>' * dots}<per-minute>{text}</per-minute>"
        found = only(direction(f'<metronome parentheses="yes">{inside}</metronome>')).marks[0]
        assert (found.value, found.get("quarters-per-minute"), found.get("quarters-per-minute-high")) == (text, low, high)
        assert found.get("parentheses") == "yes"

    def test_tied_units(self) -> None:
        # Element beat-unit-tied: a half tied to an eighth is two and a half quarters.
        inside = "<beat-unit>half</beat-unit><beat-unit-tied><beat-unit>eighth</beat-unit></beat-unit-tied><per-minute>24</per-minute>"
        assert only(direction(f"<metronome>{inside}</metronome>")).marks[0].get("quarters-per-minute") == "60"

    def test_a_metric_modulation_has_no_number(self) -> None:
        inside = "<beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit><beat-unit-dot/>"
        found = only(direction(f"<metronome>{inside}</metronome>")).marks[0]
        assert found.get("quarters-per-minute") == ""
        assert [value for name, value in found.extra if name == "beat-unit"] == ["quarter", "eighth"]

    def test_numbers_of_a_text(self) -> None:
        assert per_minute("112 bis 120") == (112, 120)
        assert per_minute("120-112") == (112, 120)
        assert per_minute("presto") == ()
