"""What stands before the music. MusicXML 4.0, elements score-partwise, work, identification, supports, defaults, part-list,
score-part, score-instrument, midi-instrument, part-group, https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

import pytest

from xmlcheck.model import Part, ScoreInstrument

from .build import START, bar, file, kinds, note, read_text, score

BAR = bar(START, note("C4"))


def listed(text: str, number: int = 1) -> Part:
    return read_text(file(*[BAR] * number, listed=text)).parts[-1]


def test_version_is_1_0_where_none_is_given() -> None:
    # Attribute version: 1.0 by default, for the files of that version have none.
    assert read_text(file(BAR).replace(' version="4.0"', "")).version == "1.0"
    assert read_text(file(BAR, version="3.1")).version == "3.1"


def test_title() -> None:
    work, movement = "<work><work-title>The Tide Road</work-title></work>", "<movement-title>Lamps</movement-title>"
    assert score(BAR, head=work + movement).title == "The Tide Road"
    assert score(BAR, head=movement).title == "Lamps"
    assert score(BAR).title == ""


def test_what_the_writer_does_not_support_is_not_missing() -> None:
    # Element supports: type="no" tells that the absence of an element means nothing.
    text = '<supports element="transpose" type="no"/><supports element="accidental" type="yes"/>'
    text += '<supports element="print" attribute="new-page" type="no" value="yes"/>'
    found = score(BAR, head=f"<identification><encoding>{text}</encoding></identification>")
    assert found.absent == {"transpose", "print@new-page"}


def test_fields_and_word_size() -> None:
    # Elements miscellaneous-field (name and text) and word-font (a size in points or in words).
    field = '<identification><miscellaneous><miscellaneous-field name="cue">1m2</miscellaneous-field></miscellaneous></identification>'
    found = score(BAR, head=field + '<defaults><word-font font-family="x" font-size="10.5"/></defaults>')
    assert (found.fields, found.words_size) == ((("cue", "1m2"),), 10.5)
    assert score(BAR, head='<defaults><word-font font-size="large"/></defaults>').words_size is None
    assert score(BAR).words_size is None
    own = read_text(file(BAR, listed=f'<score-part id="P1">{field}<part-name>Pipa</part-name></score-part>'))
    assert own.parts[0].fields == (("cue", "1m2"),)


def test_names() -> None:
    # Elements part-name-display and part-abbreviation-display: display-text and accidental-text joined.
    shown = "<display-text>Clarinet in B</display-text><accidental-text>flat</accidental-text>"
    found = listed(
        f'<score-part id="P1"><part-name>Clarinet</part-name><part-name-display>{shown}</part-name-display>'
        "<part-abbreviation>Cl.</part-abbreviation>"
        "<part-abbreviation-display><display-text>Cl. 1</display-text></part-abbreviation-display></score-part>"
    )
    assert (found.id, found.name, found.display_name, found.abbreviation, found.display_abbreviation) == (
        "P1", "Clarinet", "Clarinet in B♭", "Cl.", "Cl. 1",
    )  # fmt: skip


def test_instruments() -> None:
    # Elements score-instrument, instrument-sound, solo and ensemble; midi-instrument gives channel, program and unpitched from 1.
    found = listed(
        '<score-part id="P1"><part-name>Band</part-name>'
        '<score-instrument id="I1"><instrument-name>Oud 1</instrument-name><instrument-abbreviation>O.</instrument-abbreviation>'
        "<instrument-sound>pluck.oud</instrument-sound><solo/></score-instrument>"
        '<score-instrument id="I2"><instrument-name>Riqq</instrument-name><ensemble>4</ensemble></score-instrument>'
        '<midi-instrument id="I1"><midi-channel>3</midi-channel><midi-program>106</midi-program></midi-instrument>'
        '<midi-instrument id="I2"><midi-channel>10</midi-channel><midi-unpitched>55</midi-unpitched></midi-instrument></score-part>'
    )
    assert found.instruments == (
        ScoreInstrument("I1", "Oud 1", "O.", "pluck.oud", 106, None, 3, "solo"),
        ScoreInstrument("I2", "Riqq", "", "", None, 55, 10, "4"),
    )


def test_playback_data_without_an_instrument_is_kept() -> None:
    found = listed(
        '<score-part id="P1"><part-name>x</part-name><midi-instrument id="M"><midi-program>0</midi-program></midi-instrument></score-part>'
    )
    assert [(one.id, one.program) for one in found.instruments] == [("M", 0)]


def test_groups_may_overlap() -> None:
    # Element part-group: groups need not be nested; number tells them apart.
    def group(kind: str, number: int, name: str = "") -> str:
        inside = f"<group-name>{name}</group-name>" if name else ""
        return f'<part-group type="{kind}" number="{number}">{inside}</part-group>'

    def one(number: int) -> str:
        return f'<score-part id="P{number}"><part-name>{number}</part-name></score-part>'

    text = (
        group("start", 1, "Strings")
        + one(1)
        + group("start", 2, "Low")
        + one(2)
        + group("stop", 1)
        + one(3)
        + group("stop", 2)
        + one(4)
    )
    found = read_text(file(*[BAR] * 4, listed=text))
    assert [each.groups for each in found.parts] == [("Strings",), ("Strings", "Low"), ("Low",), ()]


def test_editions_and_links() -> None:
    # Elements group (named sets such as score and parts) and part-link (the part's own document).
    head = 'xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="oud.musicxml"'
    found = listed(
        f'<score-part id="P1"><part-link {head}/><part-name>Oud</part-name><group>score</group><group>parts</group></score-part>'
    )
    assert (found.editions, found.links) == (("score", "parts"), ("oud.musicxml",))


class TestPartsAndList:
    def test_a_part_that_is_not_listed(self) -> None:
        found = read_text(file(BAR, BAR, listed='<score-part id="P1"><part-name>x</part-name></score-part>'))
        assert [(one.id, one.name) for one in found.parts] == [("P1", "x"), ("P2", "")]
        assert kinds(found) == ["part-list"]

    def test_a_part_without_an_id_is_the_next_of_the_list(self) -> None:
        found = read_text(file(BAR).replace('<part id="P1">', "<part>"))
        assert [(one.id, one.name) for one in found.parts] == [("P1", "Part 1")]
        assert kinds(found) == ["part-list"]

    @pytest.mark.parametrize(("group", "told"), [("", ["part-list"]), ("<group>parts</group>", [])])
    def test_a_listed_part_without_music(self, group: str, told: list[str]) -> None:
        text = f'<score-part id="P1"><part-name>x</part-name></score-part><score-part id="P9"><part-name>y</part-name>{group}</score-part>'
        found = read_text(file(BAR, listed=text))
        assert [one.id for one in found.parts] == ["P1"]
        assert kinds(found) == told
