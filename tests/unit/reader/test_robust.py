"""Files as they come: with odd numbers, comments and elements nobody expects. Reading repairs and tells; it never fails.

MusicXML 4.0, data types divisions, positive-divisions, semitones and staff-number say which numbers are legal,
https://www.w3.org/2021/06/musicxml40/musicxml-reference/data-types/ .
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from xmlcheck.model import Note, Part, Rest
from xmlcheck.pitch import Pitch
from xmlcheck.quick import quick

from .build import attributes, kinds, note, part, places, read_text, score

WORDS = "<direction><direction-type><words>arco</words></direction-type></direction>"


NO_NUMBERS = ["1e309", "four", "NaN", "inf", "9" * 70, "1e17", "\u0661x"]


class TestNumbers:
    def repaired(self, text: str, kind: str) -> Part:
        found = score(text, note("D4"))
        assert kind in kinds(found)
        assert all(notice.text for notice in found.notices)
        return found.parts[0]

    @pytest.mark.parametrize("bad", [*NO_NUMBERS, "-4", " "])
    def test_durations(self, bad: str) -> None:
        assert places(self.repaired(note("C4", bad), "duration").notes) == [("C4", 0, 0), ("D4", 0, 1)]

    @pytest.mark.parametrize("bad", [*NO_NUMBERS, "-4", ""])
    @pytest.mark.parametrize("name", ["forward", "backup"])
    def test_forward_and_backup(self, bad: str, name: str) -> None:
        found = self.repaired(f"<{name}><duration>{bad}</duration></{name}>", "duration")
        assert places(found.notes) == [("D4", 0, 1)]

    @pytest.mark.parametrize("bad", [*NO_NUMBERS, "-4", "0", ""])
    def test_divisions(self, bad: str) -> None:
        assert places(self.repaired(attributes(f"<divisions>{bad}</divisions>"), "divisions").notes) == [("D4", 0, 1)]

    @pytest.mark.parametrize("bad", [*NO_NUMBERS, ""])
    def test_offsets(self, bad: str) -> None:
        found = self.repaired(WORDS.replace("</direction>", f"<offset>{bad}</offset></direction>"), "offset")
        assert found.directions[0].onset == 0

    @pytest.mark.parametrize("bad", [*NO_NUMBERS, "-4", "0", "1.5", ""])
    def test_staves(self, bad: str) -> None:
        assert self.repaired(note("C4", 1, f"<staff>{bad}</staff>"), "staff").notes[0].staff == 1

    @pytest.mark.parametrize("bad", NO_NUMBERS)
    def test_alter(self, bad: str) -> None:
        assert self.repaired(note("C4").replace("<octave>", f"<alter>{bad}</alter><octave>"), "pitch").notes[0].written is None


def test_repeated_faults_are_told_once_with_their_count() -> None:
    found = score(*[note("C4", "x")] * 5)
    read = [one for one in found.notices if not one.kind.startswith("schema-")]
    assert [(one.kind, one.part, one.measure) for one in read] == [("duration", "P1", "1")]
    assert read[0].text.endswith("(and 4 more such)")


def test_comments_and_instructions_between_elements() -> None:
    spread = note(
        "C#4",
        2,
        "<!-- a --><voice><!-- b -->2</voice><notations><!-- c --><articulations><?d e?><accent/></articulations></notations>",
    )
    found = part("<!-- f -->", spread.replace("<step>", "<!-- g --><step>"), "<?h i?>", note("D4"))
    assert places(found.notes) == [("C#4", 0, 2), ("D4", 2, 1)]
    assert (found.notes[0].voice, [mark.name for mark in found.notes[0].marks]) == ("2", ["accent"])


def test_a_number_with_a_comment_inside() -> None:
    found = score(note("C4", "1<!-- and -->2"), note("D4"))
    assert places(found.parts[0].notes) == [("C4", 0, 12), ("D4", 12, 1)]
    assert [one.anchor for one in found.parts[0].notes] == [3, 4]


def test_white_space_in_numbers_and_names() -> None:
    text = (
        note("C4", " 2\n", "<voice> 1 </voice><type>\n half </type>")
        .replace("<step>C</step>", "<step> C </step>")
        .replace(">4<", "> 4 <")
    )
    found = part(text, note("D4", 1, "<voice>1</voice>"))
    assert places(found.notes) == [("C4", 0, 2), ("D4", 2, 1)]
    assert [(one.voice, one.type) for one in found.notes] == [("1", "half"), ("1", "")]


@pytest.mark.parametrize(
    "text",
    [
        "<score-partwise/>",
        "<score-timewise/>",
        "<score-partwise><part-list/></score-partwise>",
        "<score-partwise><part-list/><part/></score-partwise>",
        "<score-partwise><part><measure/></part></score-partwise>",
        "<score-timewise><measure/></score-timewise>",
        "<score-timewise><measure><part/></measure></score-timewise>",
        "<score-partwise><part><measure><note/><backup/><forward/><direction/><attributes/><barline/><harmony/><sound/></measure></part></score-partwise>",
        "<score-partwise><part-list><part-group/><score-part/></part-list><part><measure><note><chord/><grace/><rest/></note></measure></part></score-partwise>",
    ],
)
def test_almost_nothing_is_read(text: str) -> None:
    assert isinstance(read_text(text).parts, tuple)


def test_everything_is_frozen() -> None:
    found = part(note("C4")).notes[0]
    assert type(found) is Note
    with pytest.raises(AttributeError):
        found.duration = 3  # type: ignore[misc]
    assert found == Note(0, 1, 0, 3, "1", 1, found.written, found.sounding)
    assert hash(found) == hash(replace(found))


def test_quick_values_are_the_same_values() -> None:
    # A self-check of our own short cut: no outside source says how a dataclass is built.
    made = quick(Rest)(3, 1, 0, 7, "1", 1, hidden=True)
    assert made == Rest(3, 1, 0, 7, "1", 1, hidden=True)
    assert type(made) is Rest
    assert hash(made) == hash(Rest(3, 1, 0, 7, "1", 1, hidden=True))
    assert quick(Pitch)("B", Decimal(-1), 4) == Pitch("B", Decimal(-1), 4)
    assert quick(Pitch)("B", Decimal(-1), 4).cents == 7000  # made by __post_init__
    with pytest.raises(AttributeError):
        made.onset = 4  # type: ignore[misc]
