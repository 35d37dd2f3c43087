"""Faults that fuzzing found, each with the smallest input that shows it; the numbers of the runs are in README.md beside this."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from tests.fuzz.bounds import time_bound
from tests.fuzz.properties import NAME, check, examine
from xmlcheck import annotate, read, unmark
from xmlcheck.errors import TooLarge, Unreadable
from xmlcheck.partname import MOST, part_name
from xmlcheck.testing import score
from xmlcheck.testing.mini import Part

TINY = score(Part("C5.q D5 E5 F5 | G5.w", name="Flute"))
DIGITS = b"9" * 5000
"""More figures than Python makes a number of (sys.set_int_max_str_digits)."""


def _put(before: bytes, new: bytes) -> bytes:
    """The tiny score with something before every place of `before`."""
    data = TINY.replace(before, new + before)
    assert data != TINY
    return data


def _named(name: str) -> bytes:
    return score(Part("C5.q D5 E5 F5", name=name))


SPOILT = {
    "bar number of 5000 figures": TINY.replace(b'number="2"', b'number="%b"' % DIGITS),
    "ottava of 5000 figures": _put(
        b"<note>", b'<direction><direction-type><octave-shift type="up" size="%b"/></direction-type></direction>' % DIGITS
    ).replace(
        b"</measure>",
        b'<direction><direction-type><octave-shift type="stop"/></direction-type></direction></measure>',
    ),
    "beats of 5000 figures in a mixed meter": _put(
        b"<note>",
        b"<attributes><time><beats>%b</beats><beat-type>4</beat-type><beats>3</beats><beat-type>8</beat-type></time></attributes>"
        % DIGITS,
    ),
    "part number of 5000 figures": _named(DIGITS.decode() + ". Horn"),
    "rest of a million million bars": _put(
        b"<note>", b"<attributes><measure-style><multiple-rest>999999999999</multiple-rest></measure-style></attributes>"
    ),
    "a part written twice": TINY.replace(
        b"</part>", b"</part>" + TINY[TINY.index(b'<part id="P1"') : TINY.index(b"</part>") + 7]
    ),
}


@pytest.mark.parametrize("name", SPOILT)
def test_it_is_checked_like_any_other(name: str) -> None:
    with time_bound():
        assert examine(SPOILT[name]) == "checked"


def test_parts_of_one_id_are_told_apart() -> None:
    """MusicXML 4.0, element part: its id refers to one score-part; what is said of a part names it by its id."""
    found = read(SPOILT["a part written twice"])
    assert [part.id for part in found.parts] == ["P1", "P1 (2)"]
    assert [len(part.notes) for part in found.parts] == [5, 5]
    assert any("several parts have the id 'P1'" in notice.text for notice in found.notices)
    assert {part.id for part in check(SPOILT["a part written twice"]).parts} == {"P1", "P1 (2)"}


def test_a_heading_without_an_end_takes_no_time() -> None:
    """Patterns that look for a number before a word went over each figure once for each figure: 3 s for 5000 of them."""
    with time_bound(5):
        name = part_name("Horn " + "9" * 100_000)
        assert len(name.stem) <= MOST
        assert part_name("9" * 100_000 + ". Horn").text.endswith(". Horn")


def test_a_parsers_words_are_cut_and_printable() -> None:
    for spoilt in (
        b"<a\xf0\x90\x80\x80\xee\x80\x80" + b"a" * 5000 + b"></b>",
        b"<" + b"x" * 5000 + b"/>",
        b'<x xmlns="%b"/>' % (b"u" * 5000),
    ):
        with pytest.raises(Unreadable):
            check(spoilt)
        assert examine(spoilt) == "refused Unreadable"


def test_a_damaged_zips_words_are_cut() -> None:
    """The zip reader quotes the name in the entry's own header, which a flipped bit makes as long as the rest of the file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("META-INF/container.xml", b"<container>" + b" " * 5000)
    data = bytearray(out.getvalue())
    data[27] = 0x10  # the high byte of the length of the entry's name
    assert examine(bytes(data)) == "refused Unreadable"


def test_a_chord_of_all_pitches_on_octave_courses_takes_no_time() -> None:
    """Every set of notes that one octave course might bring along was tried, in every order."""
    pitch = b"<pitch><step>%c</step><octave>%d</octave></pitch>"
    chord = b"".join(
        b"<note>" + b"<chord/>" + pitch % (step, octave) + b"<duration>1</duration></note>"
        for octave in range(2, 8)
        for step in b"CDEFGAB"
    )
    data = _named("Charango").replace(b"</note>", b"</note>" + chord, 1)
    with time_bound():
        assert len(read(data).parts[0].notes) > 40
        assert examine(data) == "checked"


def _bar_by_bar(bars: int, ids: int) -> bytes:
    """A timewise score in which bar n has part n mod `ids` alone."""
    listed = b"".join(b'<score-part id="P%d"><part-name>Flute</part-name></score-part>' % number for number in range(ids))
    rows = b"".join(b'<measure number="%d"><part id="P%d"/></measure>' % (number, number % ids) for number in range(bars))
    return b'<score-timewise version="4.0"><part-list>' + listed + b"</part-list>" + rows + b"</score-timewise>"


def test_a_score_of_many_bars_bar_by_bar_takes_no_square_of_time() -> None:
    with time_bound():
        assert len(read(_bar_by_bar(20_000, 1)).parts[0].measures) == 20_000


def test_parts_in_few_bars_each_do_not_fill_the_memory() -> None:
    """Every part has a place in every bar: of 100 kB, 1500 parts in one bar each of 1500, there would be two million."""
    with pytest.raises(
        TooLarge, match=rf"{NAME}: 1500 parts that stand in few of its bars each; no score is built like this\."
    ):
        check(_bar_by_bar(1500, 1500))
    assert len(read(_bar_by_bar(600, 600)).parts) == 600


def test_a_mark_in_a_file_declared_as_ascii_is_ascii() -> None:
    """XML 1.0, section 4.3.3: bytes that the declared encoding has not are a fatal error; expat stops, libxml2 goes on."""
    data = TINY.replace(b'encoding="UTF-8"', b'encoding="US-ASCII"')
    report = check(data)
    assert report.findings
    marked = annotate(
        data, replace(report, findings=tuple(replace(one, label="tuning: nogij\u014dshi") for one in report.findings)), "all"
    )
    assert b"nogij&#333;shi" in marked
    assert ElementTree.fromstring(marked).tag == "score-partwise"
    assert unmark(marked) == data
