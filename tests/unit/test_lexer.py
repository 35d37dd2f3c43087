"""The lexer against expat, an independent XML parser that tells byte offsets; and our marks in all kinds of surroundings."""

from __future__ import annotations

import time
from xml.parsers import expat

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.corpus_files import music21_sample
from xmlcheck import lexer
from xmlcheck.document import ANCHORED
from xmlcheck.source import read_source


def by_expat(data: bytes, encoding: str, names: tuple[str, ...]) -> tuple[list[int], list[str]]:
    """Offsets and names of start tags as expat reports them."""
    offsets, found = [], []
    parser = expat.ParserCreate("utf-16" if encoding.startswith("utf-16") else encoding)

    def start(name: str, _: object) -> None:
        if name in names:
            offsets.append(parser.CurrentByteIndex)
            found.append(name)

    parser.StartElementHandler = start
    parser.Parse(data, True)
    return offsets, found


@pytest.mark.parametrize("path", music21_sample(), ids=lambda path: path.name)
def test_starts_are_those_that_expat_finds(path: object) -> None:
    source = read_source(str(path))
    offsets, names = lexer.starts(*lexer.units(source.data, source.encoding), ANCHORED)
    assert offsets
    encoding = {"iso8859-1": "iso-8859-1"}.get(source.encoding, source.encoding)
    assert (list(offsets), names) == by_expat(source.data, encoding, ANCHORED)


PIECES = [
    "<!-- <note> -->", "<!--->-->", "<![CDATA[<note> ]] > ]]>", "<![CDATA[]]>", "<?x <note> ?>", "<?xmlcheck-other begin?>", "<?y?>",
    "<note/>", "<note\n/>", "<note a='>' b=\"<'\">x</note>".replace("<'", "'"), "<notes/>", "<noted></noted>", "<a-note/>",
    "<note><note/></note>", "text > é 琴", "&lt;note>", "&#60;note>", "<part id='&lt;note>'/>", "]]&gt;", "?>", "-->", " ",
]  # fmt: skip
PROLOGS = ["", "<!-- <!DOCTYPE a [ -->", "<?p [<!ENTITY?>", "<!DOCTYPE a>", "<!DOCTYPE a SYSTEM '\"[>'>\n",
           "<!DOCTYPE a [<!ELEMENT note ANY><!-- ]> ' <!ENTITY --><?p ]>?><!ATTLIST note b CDATA 'note ]>'>\n]  >"]  # fmt: skip


@given(st.sampled_from(PROLOGS), st.lists(st.sampled_from(PIECES), max_size=12), st.sampled_from(["utf-8", "utf-16"]))
def test_starts_in_odd_surroundings(prolog: str, pieces: list[str], encoding: str) -> None:
    data = f"{prolog}<a>{''.join(pieces)}</a>".encode(encoding)
    exact = {"utf-8": "utf-8", "utf-16": "utf-16-le"}[encoding]
    text, width = lexer.units(data, exact)
    offsets, names = lexer.starts(text, width, ("note", "part"))
    assert (list(offsets), names) == by_expat(data, encoding, ("note", "part"))
    assert lexer.root_start(text) == (data.index("<a>".encode(exact)) // width, "a")
    assert not lexer.entities_declared(text)


def test_units_never_look_like_markup() -> None:
    """U+013C, U+3C00, U+3E3C and a surrogate pair hold the byte of `<` or `>`; only the tag itself may show one."""
    text = "<a>ļ㰀㸼𝄞\N{LATIN SMALL LETTER E WITH ACUTE}</a>"
    for encoding in ("utf-16-le", "utf-16-be"):
        folded, width = lexer.units(text.encode(encoding), encoding)
        assert width == 2
        assert folded.count(b"<") == 2
        assert len(folded) * 2 == len(text.encode(encoding))


BEGIN, END, HEAD = "<?xmlcheck begin?>", "<?xmlcheck end?>", f'<?xmlcheck file tool="x" sha256="{"0" * 64}"?>'


@pytest.mark.parametrize(
    ("given", "left", "marks"),
    [
        (f"<a>{BEGIN}<direction/>{END}<note/></a>", "<a><note/></a>", 2),
        (f"{HEAD}<a>{BEGIN}x{END}{BEGIN}y{END}</a>", "<a></a>", 5),
        (f"<a><!-- {BEGIN}x{END} --></a>", None, 0),
        (f"<a><![CDATA[{BEGIN}x{END}]]></a>", None, 0),
        (f"<a>{BEGIN}<!-- {END} -->{END}</a>", "<a></a>", 2),
        ("<a><?xmlchecker begin?>x<?xmlchecker end?></a>", None, 0),
        ("<a><?other xmlcheck begin?></a>", None, 0),
        (f"<a>{BEGIN}<note/></a>", "<a><note/></a>", 1),  # the end was lost
        (f"<a><note/>{END}</a>", "<a><note/></a>", 1),  # the begin was lost
        (f"<a>{BEGIN}<b/>{BEGIN}<direction/>{END}</a>", "<a><b/></a>", 3),
        (f"<a>{BEGIN}<direction/><note/>{END}</a>", "<a><direction/><note/></a>", 2),  # music got between: it stays
        ("<a><?xmlcheck\nbegin ?>x<?xmlcheck  end\t?></a>", "<a></a>", 2),
        ("<a><?xmlcheck?></a>", "<a></a>", 1),
        (f"<a>{BEGIN}<direction/><?xmlcheck end", "<a><direction/><?xmlcheck end", 1),  # cut off
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16-le", "utf-16-be"])
def test_marks_come_out_and_nothing_else(given: str, left: str | None, marks: int, encoding: str) -> None:
    stripped = lexer.strip(given.encode(encoding), encoding)
    assert stripped.data.decode(encoding) == (given if left is None else left)
    assert stripped.marks == marks
    assert stripped.recorded == ("0" * 64 if HEAD in given else None)


LIST = "<part-list><score-part><identification/></score-part></part-list>"


@pytest.mark.parametrize(
    ("header", "place", "around"),
    [
        ("<identification><miscellaneous><b/></miscellaneous></identification>" + LIST, "</miscellaneous>", ()),
        ("<work/><identification><encoding/></identification>" + LIST, "</identification>", ("miscellaneous",)),
        ("<work/><defaults/><credit/>" + LIST, "<defaults/>", ("identification", "miscellaneous")),
        ("<work/><credit/>" + LIST, "<credit/>", ("identification", "miscellaneous")),
        ("<!-- <identification> --><movement-title/>" + LIST, "<part-list>", ("identification", "miscellaneous")),
        ("<identification/>" + LIST, None, ()),
        ("<identification><miscellaneous/></identification>" + LIST, None, ()),
        ("<identification a='/>'><source/></identification >", "</identification >", ("miscellaneous",)),
        ("", None, ()),
    ],
)
def test_where_the_field_may_stand(header: str, place: str | None, around: tuple[str, ...]) -> None:
    """MusicXML 4.0: identification stands before defaults, credit and part-list; miscellaneous is last in it."""
    text = f"<score-partwise>{header}<part/></score-partwise>".encode()
    expected = None if place is None else (text.index(place.encode()), around)
    assert lexer.field_place(text) == expected


@pytest.mark.parametrize(
    "unit", ["<!--", "<![CDATA[", "<?", "<?xmlcheck begin?><", "<!DOCTYPE a [<!--", "<!DOCTYPE a '", "<note a='"]
)
def test_malformed_bytes_take_no_more_than_linear_time(unit: str) -> None:
    """200,000 openings that nothing closes: a search that starts anew at each would take hours."""
    data = unit.encode() * 200_000
    began = time.perf_counter()
    lexer.starts(data, 1, ANCHORED)
    lexer.strip(data, "utf-8")
    lexer.entities_declared(data)
    list(lexer.tags(data, ANCHORED))
    assert time.perf_counter() - began < 10
