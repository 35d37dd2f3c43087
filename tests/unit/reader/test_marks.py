"""Signs on notes and in directions. MusicXML 4.0, elements technical, articulations, ornaments, notations, direction-type and
what stands in them, https://www.w3.org/2021/06/musicxml40/musicxml-reference/elements/ .
"""

from __future__ import annotations

import pytest
from lxml import etree

from xmlcheck.model import Mark

from ...corpus_files import package_folder
from .build import note, part

XSD = "{http://www.w3.org/2001/XMLSchema}"


def signs_of_the_schema(name: str) -> list[str]:
    """Names of the elements that a complex type of the W3C's MusicXML 4.0 schema holds, its groups' left out."""
    schema = etree.parse(str(package_folder("musicxml") / "generate_classes" / "musicxml_4_0.xsd"))
    kind = next(one for one in schema.getroot().iterchildren(XSD + "complexType") if one.get("name") == name)
    return [one.get("name", "") for one in kind.iter(XSD + "element")]


def marks(text: str) -> tuple[Mark, ...]:
    return part(note("C4", 1, f"<notations>{text}</notations>")).notes[0].marks


def mark(text: str) -> Mark:
    (found,) = marks(text)
    return found


@pytest.mark.parametrize("group", ["technical", "articulations", "ornaments"])
def test_every_sign_of_the_standard_is_kept_by_its_name(group: str) -> None:
    names = signs_of_the_schema(group)
    assert len(names) > 10
    found = marks(f"<{group}>{''.join(f'<{name}/>' for name in names)}</{group}>")
    assert [(one.group, one.name) for one in found] == [(group, name) for name in names]


def test_every_notation_of_the_standard_is_kept_by_its_name() -> None:
    names = [name for name in signs_of_the_schema("notations") if name not in ("technical", "articulations", "ornaments")]
    assert {"slur", "glissando", "slide", "fermata", "arpeggiate", "other-notation"} <= set(names)
    assert [(one.group, one.name) for one in marks("".join(f"<{name}/>" for name in names))] == [
        ("notations", name) for name in names
    ]


def test_every_direction_of_the_standard_is_kept_by_its_name() -> None:
    names = signs_of_the_schema("direction-type")
    assert {"words", "wedge", "pedal", "dashes", "scordatura", "harp-pedals", "string-mute", "percussion"} <= set(names)
    found = part("<direction>" + "".join(f"<direction-type><{name}/></direction-type>" for name in names) + "</direction>")
    assert [(one.group, one.name) for one in found.directions[0].marks] == [("direction", name) for name in names]


def test_unknown_signs_are_kept_by_their_name() -> None:
    found = marks("<technical><thumb-roll>2</thumb-roll></technical><new-notation type='start'/>")
    assert [(one.group, one.name, one.type, one.value) for one in found] == [
        ("technical", "thumb-roll", "", "2"), ("notations", "new-notation", "start", ""),
    ]  # fmt: skip


def test_layout_is_left_out() -> None:
    # Attribute groups position and font say where and in which face, not what.
    found = mark(
        '<slur type="start" number="2" placement="above" default-x="3" bezier-x="1" color="#FF0000" line-type="dashed"/>'
    )
    assert found == Mark("notations", "slur", "start", "", "2", (("placement", "above"), ("line-type", "dashed")))


def test_equal_signs_are_one_value() -> None:
    first, second = part(*[note("C4", 1, "<notations><articulations><staccato/></articulations></notations>")] * 2).notes
    assert first.marks[0] is second.marks[0]


@pytest.mark.parametrize(
    ("text", "name", "value", "extra"),
    [
        # Element fingering: substitution and alternate fingerings are told by attributes.
        ('<fingering substitution="yes">4</fingering>', "fingering", "4", {"substitution": "yes"}),
        ("<string>2</string>", "string", "2", {}),
        ("<fret>12</fret>", "fret", "12", {}),
        ("<pluck>i</pluck>", "pluck", "i", {}),
        ('<hammer-on type="start" number="1">H</hammer-on>', "hammer-on", "H", {}),
        # Element bend: bend-alter in semitones, pre-bend, release with its offset.
        (
            '<bend><bend-alter>-1</bend-alter><release offset="2"/></bend>',
            "bend", "", {"bend-alter": "-1", "release": "", "release@offset": "2"},
        ),
        # Element hole: how a wind fingering's hole is closed.
        (
            '<hole><hole-type>thumb</hole-type><hole-closed location="top">half</hole-closed></hole>',
            "hole", "", {"hole-type": "thumb", "hole-closed": "half", "hole-closed@location": "top"},
        ),
        ("<arrow><arrow-direction>up</arrow-direction></arrow>", "arrow", "", {"arrow-direction": "up"}),
        ('<harmon-mute><harmon-closed location="left">half</harmon-closed></harmon-mute>', "harmon-mute", "", {"harmon-closed": "half"}),
        ("<handbell>damp</handbell>", "handbell", "damp", {}),
        (
            '<other-technical smufl="stringsThumbPosition">thumb</other-technical>',
            "other-technical", "thumb", {"smufl": "stringsThumbPosition"},
        ),
    ],
)  # fmt: skip
def test_technical_signs(text: str, name: str, value: str, extra: dict[str, str]) -> None:
    found = mark(f"<technical>{text}</technical>")
    assert (found.group, found.name, found.value) == ("technical", name, value)
    assert {key: found.get(key) for key in extra} == extra


def test_several_fingerings_keep_their_order() -> None:
    found = marks(
        "<technical><fingering>3</fingering><fingering substitution='yes'>1</fingering><string>4</string></technical>"
    )
    assert [(one.name, one.value) for one in found] == [("fingering", "3"), ("fingering", "1"), ("string", "4")]


@pytest.mark.parametrize(
    ("text", "value"),
    # Element dynamics: the letters are the names of the elements; they may be combined, and others are text.
    [
        ("<p/>", "p"), ("<sfz/>", "sfz"), ("<sf/><mp/>", "sfmp"), ("<n/>", "n"), ("<other-dynamics>poco f</other-dynamics>", "poco f"),
        ("<!-- soft --><pp/>", "pp"),
    ],
)  # fmt: skip
def test_dynamics(text: str, value: str) -> None:
    assert mark(f'<dynamics placement="below">{text}</dynamics>') == Mark(
        "notations", "dynamics", "", value, "", (("placement", "below"),)
    )
    found = part(f"<direction><direction-type><dynamics>{text}</dynamics></direction-type></direction>").directions[0]
    assert [(one.group, one.value) for one in found.marks] == [("direction", value)]


def test_ornaments_keep_their_accidentals() -> None:
    # Element ornaments: accidental-marks follow the ornament they belong to.
    found = marks(
        "<ornaments><trill-mark/><accidental-mark placement='above'>flat</accidental-mark><wavy-line type='start' number='1'/></ornaments>"
    )
    assert [(one.name, one.type, one.value) for one in found] == [
        ("trill-mark", "", ""),
        ("accidental-mark", "", "flat"),
        ("wavy-line", "start", ""),
    ]


def test_lines_have_type_number_and_text() -> None:
    # Elements slide (continuous) and glissando (with steps); fermata with its shape; arpeggiate with its direction.
    found = marks(
        '<slide type="start" number="1" line-type="solid">gliss.</slide><glissando type="stop"/>'
        '<fermata type="inverted">square</fermata><arpeggiate direction="down"/>'
    )
    assert [(one.name, one.type, one.number, one.value) for one in found] == [
        ("slide", "start", "1", "gliss."), ("glissando", "stop", "", ""), ("fermata", "inverted", "", "square"), ("arpeggiate", "", "", ""),
    ]  # fmt: skip
    assert found[3].get("direction") == "down"


def test_editorial_remarks() -> None:
    found = part(
        note(
            "C4",
            1,
            "<footnote>uncertain</footnote><level reference='yes'>editorial</level><notations><level>x</level></notations>",
        )
    )
    assert [(one.group, one.name, one.value) for one in found.notes[0].marks] == [
        ("editorial", "footnote", "uncertain"), ("editorial", "level", "editorial"), ("editorial", "level", "x"),
    ]  # fmt: skip


def test_marks_of_rests() -> None:
    # Element fermata: on notes, rests and barlines.
    found = part("<note><rest/><duration>1</duration><notations><fermata/></notations></note>").rests[0]
    assert [one.name for one in found.marks] == ["fermata"]
