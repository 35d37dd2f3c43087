"""Pictures: every note of an excerpt keeps its id, what is marked is marked in its place, and nothing but drawing gets through.

Looked at by eye as well: shapes stand over their heads, and labels do not cover one another.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from lxml import etree

from tests.corpus_files import music21_sample
from xmlcheck import engrave, engrave_child, ink
from xmlcheck.document import parse
from xmlcheck.engrave import COLOURS, Mark, Picture, picture
from xmlcheck.errors import XmlcheckError
from xmlcheck.excerpt import Excerpt, Excerpts
from xmlcheck.finding import Grade
from xmlcheck.source import from_bytes, original, read_source

pytestmark = pytest.mark.skipif(not engrave.available(), reason="verovio is not installed (extra: report)")
DEMO = Path(__file__).parents[3] / "corpus" / "demo" / "the-crossing.musicxml"
SVG = "{http://www.w3.org/2000/svg}"
DRAWN = {
    "svg",
    "title",
    "defs",
    "g",
    "path",
    "use",
    "polygon",
    "polyline",
    "rect",
    "ellipse",
    "circle",
    "line",
    "text",
    "tspan",
}


@pytest.fixture(scope="module", autouse=True)
def one_child() -> Iterator[None]:
    """One process for all pictures of this module."""
    with engrave.child():
        yield


@pytest.fixture(scope="module")
def excerpts() -> Excerpts:
    return Excerpts(parse(read_source(DEMO)))


def made(excerpts: Excerpts, part: str, first: int, last: int | None = None) -> Excerpt:
    excerpt = excerpts.make(part, first, last)
    assert excerpt is not None
    return excerpt


def drawn(excerpt: Excerpt, *marks: Mark, title: str = "a title") -> Picture:
    result = picture(excerpt, marks, title)
    assert result is not None
    return result


def tree(shown: Picture) -> etree._Element:
    return etree.fromstring(shown.alone())


def told(element: etree._Element) -> str:
    return "".join(str(text) for text in element.itertext())


def number(element: etree._Element, name: str) -> float:
    return float(element.get(name, "nan"))


def test_every_note_keeps_its_id_and_every_marked_one_is_marked(excerpts: Excerpts) -> None:
    excerpt = made(excerpts, "P1", 9, 10)
    ids = sorted(excerpt.ids, key=lambda id: int(id[1:]))
    shown = drawn(excerpt, Mark((ids[0], ids[2]), Grade.HALT, "2 · below compass"))
    root = tree(shown)
    assert {item.get("data-note") for item in root.iter() if item.get("data-note")} == excerpt.ids
    assert set(shown.marked) == {ids[0], ids[2]}
    assert [item.get("data-note-marked") for item in root.iter() if item.get("data-note-marked")] == [ids[0], ids[2]]
    assert [item.get("data-marks") for item in root.iter() if item.get("data-marks")] == [f"{ids[0]} {ids[2]}"]
    assert "2 · below compass" in told(root)


def test_marks_stand_where_the_heads_are(excerpts: Excerpts) -> None:
    """Against the engraver's own SVG, read here by its notehead classes."""
    excerpt = made(excerpts, "P1", 9, 10)
    toolkit = engrave_child._toolkit()
    assert toolkit.loadData(excerpt.data.decode())
    raw = etree.fromstring(toolkit.renderToSVG(1).encode())
    places = {}
    for note in raw.iter(f"{SVG}g"):
        if note.get("class") == "note":
            use = next(
                use for head in note.iter(f"{SVG}g") if head.get("class") == "notehead" for use in head.iter(f"{SVG}use")
            )
            found = re.search(r"translate\((-?[\d.]+), (-?[\d.]+)\)", use.get("transform", ""))
            assert found
            places[note.get("id", "")] = (float(found[1]), float(found[2]))
    assert len(places) >= 4
    shown = drawn(excerpt, Mark(tuple(places), Grade.HALT, "x"))
    for field in (item for item in tree(shown).iter(f"{SVG}rect") if item.get("class") == "behind halt"):
        x, y = places[field.get("data-note-marked", "")]
        assert number(field, "x") <= x <= number(field, "x") + number(field, "width")
        assert number(field, "y") <= y <= number(field, "y") + number(field, "height")


@pytest.mark.parametrize(
    ("grade", "shape", "colour"),
    [(Grade.HALT, "rect", "#7B2D6B"), (Grade.QUERY, "circle", "#1F5FA8"), (Grade.TIDY, "rect", "#2E7D76")],
)
def test_each_grade_has_its_shape_and_colour_and_note_heads_keep_theirs(
    excerpts: Excerpts, grade: Grade, shape: str, colour: str
) -> None:
    excerpt = made(excerpts, "P1", 9)
    assert COLOURS[grade] == colour
    root = tree(drawn(excerpt, Mark((min(excerpt.ids),), grade, "1")))
    group = next(item for item in root.iter() if item.get("class") == f"mark {grade.value}")
    form = next(item for item in group if item.tag == f"{SVG}{shape}")
    if grade is Grade.QUERY:
        assert (form.get("fill"), form.get("stroke")) == ("none", colour), "hollow"
    else:
        assert form.get("fill") == colour
        ratio = number(form, "width") / number(form, "height")
        assert ratio == 1 if grade is Grade.HALT else ratio > 3
    for note in (item for item in root.iter() if item.get("data-note")):
        assert all(item.get("fill") in (None, "none") and item.get("stroke") in (None, "none") for item in note.iter())


def test_what_is_in_no_picture_is_not_marked_and_a_place_without_notes_has_its_label(excerpts: Excerpts) -> None:
    excerpt = made(excerpts, "P1", 9)
    elsewhere = drawn(excerpt, Mark(("a999999",), Grade.HALT, "not here"))
    assert elsewhere.marked == ()
    assert "not here" not in elsewhere.svg
    at = drawn(excerpt, Mark((), Grade.QUERY, "over this note", at=min(excerpt.ids)))
    assert at.marked == ()
    assert "over this note" in at.svg
    assert "data-note-marked" not in at.svg


def test_labels_lie_inside_the_picture(excerpts: Excerpts) -> None:
    excerpt = made(excerpts, "P1", 9, 10)
    root = tree(drawn(excerpt, Mark((max(excerpt.ids),), Grade.QUERY, "a label of many words, far to the right")))
    left, top, width, height = (float(value) for value in root.get("viewBox", "").split())
    for text in (item for group in root.iter(f"{SVG}g") if group.get("data-marks") for item in group.iter(f"{SVG}text")):
        assert left <= number(text, "x") <= left + width
        assert top <= number(text, "y") <= top + height


HOSTILE = "</text><script>alert(1)</script><image href='http://example.invalid/x'/>&\"'"


def test_hostile_texts_stay_texts() -> None:
    escaped = HOSTILE.replace("&", "&amp;").replace("<", "&lt;")
    data = f"""<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>{escaped}</part-name></score-part></part-list>
    <part id="P1"><measure number="1&quot;&gt;&lt;script&gt;"><attributes><divisions>1</divisions></attributes>
    <direction><direction-type><words>{escaped}</words></direction-type></direction>
    <direction><direction-type><rehearsal>{escaped}</rehearsal></direction-type></direction>
    <note color="url(http://example.invalid)"><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><type>whole</type>
    <lyric><text>{escaped}</text></lyric></note></measure></part></score-partwise>"""
    excerpt = made(Excerpts(parse(from_bytes(data.encode(), "hostile"))), "P1", 0)
    shown = drawn(excerpt, Mark(tuple(excerpt.ids), Grade.HALT, HOSTILE), title=HOSTILE)
    root = tree(shown)
    assert {etree.QName(item).localname for item in root.iter()} <= DRAWN
    for item in root.iter():
        for name, value in item.attrib.items():
            assert not str(name).startswith("on")
            assert "example.invalid" not in str(value)
            assert name != "href" or str(value).startswith("#g")
    assert "<script>alert(1)</script>" in told(root), "told as a text"
    assert "<script" not in shown.svg
    assert "<image" not in shown.svg


def test_metronome_marks_need_no_music_font(excerpts: Excerpts) -> None:
    texts = told(tree(drawn(made(excerpts, "P1", 0))))
    assert "♩" in texts
    assert not re.search("[\ue000-\uf8ff]", texts)


def test_outlines_are_shared_by_name_and_all_there(excerpts: Excerpts) -> None:
    first, second = drawn(made(excerpts, "P1", 9)), drawn(made(excerpts, "P4", 15))
    for shown in (first, second):
        used = set(re.findall(r'href="#(\w+)"', shown.svg))
        assert used == set(shown.glyphs)
        assert "<defs>" not in shown.svg
    same = set(first.glyphs) & set(second.glyphs)
    assert same
    assert all(first.glyphs[name] == second.glyphs[name] for name in same)


def test_equal_excerpts_give_equal_pictures(excerpts: Excerpts) -> None:
    excerpt = made(excerpts, "P6", 22, 23)
    mark = Mark(tuple(sorted(excerpt.ids)), Grade.QUERY, "x")
    once = drawn(excerpt, mark)
    engrave._drawn.cache_clear()
    assert drawn(excerpt, mark) == once


def test_published_music_is_drawn_with_its_notes() -> None:
    """music21's bundled scores: every picture is made, and 99.5 % of the note ids are in it (unpitched clusters may not be)."""
    pictures = notes = found = 0
    chance = random.Random(7)
    for path in music21_sample():
        try:
            excerpts = Excerpts(parse(original(read_source(path))))
        except XmlcheckError:
            continue
        for part in excerpts.parts[:4]:
            first = chance.randrange(max(1, len(excerpts.bars(part))))
            excerpt = excerpts.make(part, first, first + 1)
            if excerpt is None:
                continue
            shown = drawn(excerpt, Mark(tuple(excerpt.ids), Grade.TIDY, "x"))
            pictures, notes, found = pictures + 1, notes + len(excerpt.ids), found + len(shown.marked)
    assert pictures > 40
    assert found >= 0.995 * notes


def test_without_the_engraver_there_is_no_picture(excerpts: Excerpts, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engrave, "_toolkit", lambda: None)
    engrave._drawn.cache_clear()
    assert not engrave.available()
    assert picture(made(excerpts, "P1", 9), (), "x") is None
    assert engrave.clefs() == {}
    engrave._drawn.cache_clear()


def test_svg_without_a_page_is_no_drawing() -> None:
    assert ink.drawing("<svg xmlns='http://www.w3.org/2000/svg'/>") is None
