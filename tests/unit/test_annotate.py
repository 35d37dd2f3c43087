"""Marks in the user's bytes and out again. Order of elements: MusicXML 4.0, complexType direction."""

from __future__ import annotations

import codecs
import hashlib
import io
import zipfile
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from tests.conftest import MakeFinding, MakeReport
from tests.corpus_files import musicxml_schema
from xmlcheck.annotation import annotate, chosen, is_marked, unmark, unmark_by_label
from xmlcheck.document import ANCHORED, parse
from xmlcheck.errors import SourceChanged
from xmlcheck.finding import Acceptance, Grade, Place
from xmlcheck.source import from_bytes

NOTE = "<note><pitch><step>C</step><octave>{octave}</octave></pitch><duration>1</duration><voice>1</voice>{staff}</note>"
BAR = (
    '<measure number="1"><attributes><divisions>1</divisions></attributes>'
    + NOTE.format(octave=4, staff="<staff>1</staff>")
    + "<!-- <?xmlcheck begin?> é -->\n"
    + NOTE.format(octave=5, staff="<staff>2</staff>")
    + "</measure>"
)
SCORE = (
    '{declaration}<score-partwise version="4.0">\n{header}<part-list><score-part id="P1"><part-name>Flöte</part-name>'
    f'</score-part></part-list>\n<part id="P1">{BAR}</part></score-partwise>\n'
)
PLAIN = SCORE.format(declaration="", header="").encode()
FIRST, SECOND = 3, 4  # part, measure and attributes come before
DIRECTION = (
    '<?xmlcheck begin?><direction placement="{placement}"><direction-type><words font-style="normal" font-weight="normal" '
    'font-size="{size}">{text}</words></direction-type>{beside}</direction><?xmlcheck end?>'
)
FIELD = (
    '<miscellaneous-field name="xmlcheck">Desk copy with check marks; take them out with: xmlcheck unmark</miscellaneous-field>'
)


def head(data: bytes) -> str:
    return f'<?xmlcheck file tool="xmlcheck 0.1.0" schema="findings-1" sha256="{hashlib.sha256(data).hexdigest()}"?>'


def mark(text: str, placement: str = "above", size: str = "7", beside: str = "") -> str:
    return DIRECTION.format(text=text, placement=placement, size=size, beside=beside)


def words(data: bytes) -> list[str]:
    return [item.text or "" for item in parse(from_bytes(data, "cue")).root.iter("words")]


def test_the_marked_file_is_the_original_and_insertions(make_finding: MakeFinding, make_report: MakeReport) -> None:
    marked = annotate(PLAIN, make_report(PLAIN, [make_finding(12, FIRST)])).decode()
    expected = PLAIN.decode().replace("<score-partwise", head(PLAIN) + "<score-partwise")
    field = f"<identification><miscellaneous>{FIELD}</miscellaneous></identification>"
    expected = expected.replace("<part-list", f"<?xmlcheck begin?>{field}<?xmlcheck end?><part-list")
    assert marked == expected.replace("<note>", mark("[check 12] below compass: G3") + "<note>", 1)


def test_voice_and_staff_only_where_given_and_lower_staves_below(make_finding: MakeFinding, make_report: MakeReport) -> None:
    findings = [make_finding(1, FIRST, voice="1 & 2"), make_finding(2, SECOND, staff=2)]
    marked = annotate(PLAIN, make_report(PLAIN, findings)).decode()
    assert mark("[check 1] below compass: G3", beside="<voice>1 &amp; 2</voice>") in marked
    assert mark("[check 2] below compass: G3", "below", beside="<staff>2</staff>") in marked
    both = annotate(PLAIN, make_report(PLAIN, [make_finding(1, FIRST, voice="1", staff=1)])).decode()
    assert mark("[check 1] below compass: G3", beside="<voice>1</voice><staff>1</staff>") in both


@pytest.mark.parametrize(("size", "expected"), [(None, "7"), (10.0, "7"), (12.0, "8.4"), (9.0, "6.3"), (0.0, "7"), (-3.0, "7")])
def test_marks_are_smaller_than_the_text(
    size: float | None, expected: str, make_finding: MakeFinding, make_report: MakeReport
) -> None:
    marked = annotate(PLAIN, make_report(PLAIN, [make_finding(1, FIRST)], words_size=size)).decode()
    assert f'font-size="{expected}"' in marked


def test_findings_on_one_anchor_share_a_mark(make_finding: MakeFinding, make_report: MakeReport) -> None:
    findings = [make_finding(13, FIRST, label="no such trill"), make_finding(12, FIRST), make_finding(14, FIRST)]
    marked = annotate(PLAIN, make_report(PLAIN, findings))
    assert words(marked) == ["[check 12, 13, 14] below compass: G3; no such trill"]


def test_which_findings_are_marked(make_finding: MakeFinding, make_report: MakeReport) -> None:
    findings = [
        make_finding(1, FIRST, grade=Grade.HALT),
        make_finding(2, FIRST, grade=Grade.QUERY),
        make_finding(3, FIRST, grade=Grade.TIDY),
        make_finding(4, FIRST, accepted=Acceptance("the player", "tried it")),
        make_finding(5, None),
    ]
    assert [finding.number for finding in chosen(findings)] == [1, 2]
    assert [finding.number for finding in chosen(findings, "all")] == [1, 2, 3, 4]
    assert chosen(findings, "none") == ()
    assert words(annotate(PLAIN, make_report(PLAIN, findings))) == ["[check 1, 2] below compass: G3"]
    assert words(annotate(PLAIN, make_report(PLAIN, findings), "all")) == ["[check 1, 2, 3, 4] below compass: G3"]
    only_head = annotate(PLAIN, make_report(PLAIN, findings), "none")
    assert only_head == PLAIN.replace(b"<score-partwise", head(PLAIN).encode() + b"<score-partwise")
    assert is_marked(only_head)


@pytest.mark.parametrize("anchor", [0, 1, -1, 5, 10**9])
def test_an_anchor_where_no_direction_may_stand_gets_none(
    anchor: int, make_finding: MakeFinding, make_report: MakeReport
) -> None:
    assert words(annotate(PLAIN, make_report(PLAIN, [make_finding(1, anchor)]))) == []


LABELS = [
    "<b> & </words>",
    "a ?> b",
    "<?xmlcheck end?>",
    "]]>",
    "B♭3 琴 𝄞 é",
    "\0\x01\ud800\ufffe",
    "two\nlines\t",
    "\"'",
    "&lt;",
]


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize(
    ("encoding", "declared", "byte_order_mark"),
    [
        ("utf-8", None, b""),
        ("utf-8", "UTF-8", codecs.BOM_UTF8),
        ("utf-16-le", "UTF-16", codecs.BOM_UTF16_LE),
        ("utf-16-be", "UTF-16", codecs.BOM_UTF16_BE),
        ("utf-16-le", "UTF-16", b""),
        ("latin-1", "ISO-8859-1", b""),
        ("cp1252", "windows-1252", b""),
        ("cp1252", "UTF-8", b""),
    ],
)
def test_any_label_in_any_encoding(
    label: str, encoding: str, declared: str | None, byte_order_mark: bytes, make_finding: MakeFinding, make_report: MakeReport
) -> None:
    declaration = f'<?xml version="1.0" encoding="{declared}"?>\n' if declared else ""
    data = byte_order_mark + SCORE.format(declaration=declaration, header="").replace("\n", "\r\n").encode(encoding)
    marked = annotate(data, make_report(data, [make_finding(1, SECOND, label=label)]))
    readable = " ".join("".join("\ufffd" if char in "\0\x01\ud800\ufffe" else char for char in label).split())
    assert words(marked) == [f"[check 1] {readable}"]
    assert marked.startswith(byte_order_mark + declaration.replace("\n", "\r\n").encode(encoding))
    assert unmark(marked) == data
    assert "Flöte" in [item.text for item in parse(from_bytes(marked, "cue")).root.iter("part-name")]


def test_unicode_words_stay_readable_in_unicode_only(make_finding: MakeFinding, make_report: MakeReport) -> None:
    latin = SCORE.format(declaration='<?xml version="1.0" encoding="ISO-8859-1"?>', header="").encode("latin-1")
    for data, expected in ((PLAIN, "é 琴".encode()), (latin, b"&#233; &#29748;")):
        assert expected in annotate(data, make_report(data, [make_finding(1, FIRST, label="é 琴")]))


HEADERS = [
    "",
    "<work><work-title>x</work-title></work><identification><rights>x</rights></identification>",
    '<identification><miscellaneous><miscellaneous-field name="a">b</miscellaneous-field></miscellaneous></identification>',
    "<movement-title>x</movement-title><defaults/><credit><credit-words>x</credit-words></credit>",
    "<identification/>",
    "<identification><miscellaneous/></identification>",
]


@pytest.mark.parametrize("header", HEADERS)
def test_no_schema_error_is_added(header: str, make_finding: MakeFinding, make_report: MakeReport) -> None:
    """W3C MusicXML 4.0 XSD. The score is valid before and must be valid after."""
    data = SCORE.format(declaration="", header=header).encode()
    findings = [make_finding(1, 2, voice="1"), make_finding(2, FIRST, voice="1", staff=1), make_finding(3, SECOND, staff=2)]
    marked = annotate(data, make_report(data, findings))
    schema = musicxml_schema()
    schema.assertValid(etree.fromstring(data))
    schema.assertValid(etree.fromstring(marked))
    assert len(words(marked)) == 3
    assert unmark(marked) == data
    assert (FIELD.encode() in marked) == (header not in HEADERS[4:])


@given(st.data())
def test_marks_come_out_and_original_elements_keep_their_order(
    make_finding: MakeFinding, make_report: MakeReport, data: st.DataObject
) -> None:
    newline, declared, encoding = (data.draw(st.sampled_from(row)) for row in (["\n", "\r\n", "\r"], ["", DECLARED], ENCODINGS))
    header = data.draw(st.sampled_from(HEADERS))
    given_bytes = SCORE.format(declaration=declared, header=header).replace("\n", newline).encode(encoding)
    numbers = data.draw(st.lists(st.integers(0, 6), max_size=5))
    labels = st.text(st.characters(codec="utf-8"), max_size=20)
    findings = [make_finding(number, anchor, label=data.draw(labels)) for number, anchor in enumerate(numbers, 1)]
    report = make_report(given_bytes, findings)
    marked = annotate(given_bytes, report)
    assert unmark(marked) == given_bytes
    assert annotate(marked, report) == marked
    root = parse(from_bytes(marked, "cue")).root
    ours = [item for item in root.iter("direction")]
    assert len(ours) == len({number for number in numbers if 2 <= number <= 4})
    for item in ours:
        parent = item.getparent()
        assert parent is not None
        parent.remove(item)
    assert [item.tag for item in root.iter(*ANCHORED)] == ["part", "measure", "attributes", "note", "note"]


DECLARED = '<?xml version="1.0"?>\n'
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "utf-16-be"]


def test_annotating_twice_is_annotating_once(make_finding: MakeFinding, make_report: MakeReport) -> None:
    first = make_report(PLAIN, [make_finding(1, FIRST)])
    second = make_report(PLAIN, [make_finding(7, SECOND), make_finding(8, 2)])
    assert annotate(annotate(PLAIN, first), second) == annotate(PLAIN, second)
    marked = annotate(PLAIN, first)
    assert make_report(marked, []).source.member_sha256 == first.source.member_sha256


def test_findings_about_other_bytes_are_refused(make_finding: MakeFinding, make_report: MakeReport) -> None:
    report = make_report(PLAIN, [make_finding(1, FIRST)])
    with pytest.raises(SourceChanged, match=r"made from other bytes.*check the file again\.$"):
        annotate(PLAIN + b"\n", report)


def test_an_edited_file_is_not_unmarked_unless_told(make_finding: MakeFinding, make_report: MakeReport) -> None:
    marked = annotate(PLAIN, make_report(PLAIN, [make_finding(1, FIRST)]))
    edited = marked.replace("Flöte".encode(), b"Dizi")
    with pytest.raises(SourceChanged, match=r"^cue\.musicxml: .*edited"):
        unmark(edited, name="cue.musicxml")
    assert unmark(edited, anyway=True) == PLAIN.replace("Flöte".encode(), b"Dizi")
    headless = marked.replace(head(PLAIN).encode(), b"")
    with pytest.raises(SourceChanged):
        unmark(headless)
    assert unmark(headless, anyway=True) == PLAIN
    assert unmark(PLAIN) == PLAIN


def test_is_marked(make_finding: MakeFinding, make_report: MakeReport) -> None:
    assert not is_marked(PLAIN)  # a comment in it holds a mark, which is none
    assert not is_marked(b"")
    assert not is_marked(b"PK and no zip")
    assert is_marked(annotate(PLAIN, make_report(PLAIN, [make_finding(1, FIRST)])))


def packed() -> bytes:
    index = '<container><rootfiles><rootfile full-path="scores/cue.xml"/></rootfiles></container>'
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.comment = b"for the stand"
        archive.writestr(zipfile.ZipInfo("mimetype"), "application/vnd.recordare.musicxml")
        for name, content in (("cover.png", b"\x89PNG" * 99), ("META-INF/container.xml", index), ("scores/cue.xml", PLAIN)):
            info = zipfile.ZipInfo(name, (2024, 2, 29, 12, 30, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, content)
        archive.writestr(zipfile.ZipInfo("pictures/"), b"")
        archive.writestr(zipfile.ZipInfo("Ä.txt"), "last")
    return out.getvalue()


def entries(data: bytes) -> list[tuple[Any, ...]]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        rows = [
            (info.filename, info.compress_type, info.date_time, info.external_attr, info.extra, archive.read(info))
            for info in archive.infolist()
        ]
        return [(archive.comment,), *rows]


def test_a_zip_keeps_all_but_its_score(make_finding: MakeFinding, make_report: MakeReport) -> None:
    data = packed()
    report = make_report(data, [make_finding(1, FIRST)])
    marked = annotate(data, report)
    assert is_marked(marked)
    place = [row[0] for row in entries(data)].index("scores/cue.xml")
    before, after = entries(data), entries(marked)
    assert before[:place] == after[:place]
    assert before[place + 1 :] == after[place + 1 :]
    assert before[place][:-1] == after[place][:-1]
    assert after[place][-1] == annotate(PLAIN, make_report(PLAIN, [make_finding(1, FIRST)]))
    assert marked[30:38] == b"mimetype"  # the first entry, stored, without extra field: as the container format asks
    assert entries(unmark(marked)) == before
    assert annotate(marked, report) == marked
    assert unmark(data) == data


def test_marks_without_instructions_are_found_by_their_words(make_finding: MakeFinding, make_report: MakeReport) -> None:
    """As another program may write the file: instructions gone, white space and attributes its own."""
    findings = [make_finding(1, FIRST), make_finding(2, FIRST), make_finding(3, SECOND, label="too wide: a & b é")]
    marked = annotate(PLAIN, make_report(PLAIN, findings)).decode()
    lost = marked.replace("<?xmlcheck begin?><", "\n<").replace("<?xmlcheck end?>", "\n").replace(head(PLAIN), "")
    lost = lost.replace("[check 3]", "&#91;check 3]").replace("<words", '<words xml:space="preserve"')
    assert not is_marked(lost.encode())
    data, lines = unmark_by_label(lost.encode(), "cue.musicxml")
    assert lines == ["[check 1, 2] below compass: G3", "[check 3] too wide: a & b é"]
    empty = "<identification><miscellaneous></miscellaneous></identification>"
    assert data.decode().replace("\n", "").replace(empty, "") == PLAIN.decode().replace("\n", "")
    assert unmark_by_label(lost.encode("utf-16"))[0].decode("utf-16") == data.decode()


@pytest.mark.parametrize(
    ("direction", "lines"),
    [
        ("<direction><direction-type><words>check 12</words></direction-type></direction>", []),
        ("<direction><direction-type><words>see [check 12] there</words></direction-type></direction>", []),
        ("<direction><direction-type><dynamics><p/></dynamics></direction-type></direction>", []),
        ("<!-- <direction><direction-type><words>[check 1] x</words></direction-type></direction> -->", []),
        (
            "<direction><direction-type><words>[check 1] x</words><words>pizz.</words></direction-type></direction>",
            ["[check 1] x (left in place: its direction holds more)"],
        ),
        (
            '<direction><direction-type><words>[check 1] x</words></direction-type><sound tempo="60"/></direction>',
            ["[check 1] x (left in place: its direction holds more)"],
        ),
    ],
)
def test_what_is_not_only_ours_stays(direction: str, lines: list[str]) -> None:
    data = PLAIN.replace(b"<note>", direction.encode() + b"<note>", 1)
    assert unmark_by_label(data) == (data, lines)


def test_a_place_of_its_own_is_all_a_finding_needs(make_finding: MakeFinding, make_report: MakeReport) -> None:
    finding = make_finding(1, None, place=Place(measure="12", anchor=FIRST))
    assert words(annotate(PLAIN, make_report(PLAIN, [finding]))) == ["[check 1] below compass: G3"]
