"""The table: readable at 80 columns, in a pipe, without colour; grades by word and shape; nothing lost in wrapping."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from xmlcheck.finding import Finding, Grade, Place, Report
from xmlcheck.output import page
from xmlcheck.output.page import Sheet, cells, cut, plain, printable, show, wrap
from xmlcheck.output.terminal import counted, place_text, table

SAMPLE = Path(__file__).parents[1] / "samples" / "findings-1" / "hand-made.json"


@pytest.fixture(scope="module")
def report() -> Report:
    return Report.from_dict(json.loads(SAMPLE.read_text(encoding="utf-8")))


def told(report: Report, sheet: Sheet | None = None) -> str:
    return plain(table(report, sheet or Sheet()))


class Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def test_every_open_finding_is_told_with_grade_place_words_remedy_and_source(report: Report) -> None:
    text = " ".join(told(report, Sheet(100)).split())
    for finding in report.findings:
        assert f"{finding.grade.value} {finding.number}" in text
        assert finding.label in text
        if finding.accepted is None:
            assert f"{page.SHAPES[finding.grade]} {finding.grade.value} {finding.number} " in text
            for words in (finding.message, finding.remedy, finding.rule, place_text(finding.place), *finding.alternatives):
                assert words in text
    assert "bar 12, beat 2+1/2 · below compass: D2 (compass.below)" in text
    assert "bars 12-15 (2nd) · no rest" in text
    assert "Source: compass.lowest = D2: Invented Handbook of the Bridge" in text
    assert "(documented)." in text
    assert "Caution: Never tune a string further up" in text


def test_an_accepted_finding_is_told_apart_with_who_and_why(report: Report) -> None:
    text = told(report)
    assert text.count("above compass: F5") == 1
    assert text.index("Accepted") < text.index("above compass: F5")
    assert "accepted by Ines" in " ".join(text.split())
    assert "the first horn has played it in this hall" in " ".join(text.split())
    assert text.endswith("■ 1 halt   ○ 2 query   \N{EN DASH} 2 tidy   1 accepted\n")


def test_parts_stand_in_score_order_and_findings_in_bar_order(report: Report) -> None:
    text = told(report)
    heads = [
        "The whole score",
        "\n箏 Koto · koto",
        "\nHorn in F · horn",
        "\nTrack 7 · instrument not recognised",
        "箏 Koto: tuning plan",
    ]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)
    mixed = replace(report, findings=tuple(_at(report.findings[1], bar, number) for number, bar in enumerate((9, 3, 7), 1)))
    lines = [line for line in told(mixed).splitlines() if "bar " in line and "no rest" in line]
    assert [line.split("bar ")[1].split(",")[0] for line in lines] == ["3", "7", "9"]


def _at(finding: Finding, bar: int, number: int) -> Finding:
    return replace(finding, number=number, place=Place(bar=str(bar), measure_index=bar - 1, beat="1"))


def test_what_was_not_checked_is_told_and_why(report: Report) -> None:
    text = " ".join(told(report).split())
    assert "箏 Koto: 3 rules, for want of bowed, breath (xmlcheck about koto-13 lists them)." in text
    assert "Track 7: its instrument is not recognised" in text
    assert "Notices The file gives no tempo" in text


@pytest.mark.parametrize("width", [page.NARROWEST, 57, 80, page.WIDEST])
@pytest.mark.parametrize("signs", [True, False])
def test_no_line_is_wider_than_the_sheet(report: Report, width: int, signs: bool) -> None:
    lines = told(report, Sheet(width, False, signs)).splitlines()
    assert max(map(cells, lines)) <= width
    assert all(line == line.rstrip() for line in lines)


def test_nothing_found_is_said(report: Report) -> None:
    assert told(replace(report, findings=())).endswith("0 tidy   nothing found\n")
    assert counted(report) == "1 halt, 2 query, 2 tidy"


def test_a_pipe_gets_no_escape_sequences_and_a_terminal_gets_the_same_words(
    report: Report, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("COLUMNS", "80")
    pipe, terminal = io.StringIO(), Terminal()
    show(table(report, page.sheet_for(pipe)), pipe, page.sheet_for(pipe))
    sheet = page.sheet_for(terminal)
    assert sheet.colour
    show(table(report, sheet), terminal, sheet)
    assert "\x1b" not in pipe.getvalue()
    coloured = terminal.getvalue()
    for red, green, blue in ((0x7B, 0x2D, 0x6B), (0x1F, 0x5F, 0xA8), (0x2E, 0x7D, 0x76)):
        assert f"48;2;{red};{green};{blue}m" in coloured
    bare = page_without_codes(coloured)
    assert [line.rstrip() for line in bare.splitlines()] == pipe.getvalue().splitlines()


def page_without_codes(text: str) -> str:
    import re

    return re.sub(r"\x1b\[[0-9;]*m", "", text)


@pytest.mark.parametrize(("name", "value"), [("NO_COLOR", "1"), ("TERM", "dumb")])
def test_colour_is_left_out_on_request(name: str, value: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """NO_COLOR: no-color.org, any value that is not empty."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert page.sheet_for(Terminal()).colour
    monkeypatch.setenv(name, value)
    assert not page.sheet_for(Terminal()).colour


def test_a_stream_without_our_signs_still_tells_all_grades(report: Report) -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii")
    sheet = page.sheet_for(stream)
    show(table(report, sheet), stream, sheet)
    stream.flush()
    text = raw.getvalue().decode("ascii")
    for sign in ("# halt", "o query", "- tidy"):
        assert f"\n  {sign}" in text
    assert "Koto" in text


def test_texts_from_a_file_cannot_steer_a_terminal(report: Report) -> None:
    evil = replace(report.parts[0], name="Ko\x1b[2Jto\r\n\u202eX")
    text = told(replace(report, parts=(evil, *report.parts[1:]), notices=("\x07bell",)))
    assert not [sign for sign in text if not sign.isprintable() and sign != "\n"]
    assert printable("a\tb\n c") == "a b c"


def test_the_plural_and_singular_of_places() -> None:
    assert place_text(Place(bar="12", beat="2+1/2")) == "bar 12, beat 2+1/2"
    assert place_text(Place(bar="12", beat="1", to_bar="15")) == "bars 12-15"
    assert place_text(Place(bar="12")) == "bar 12"
    assert place_text(Place()) == ""


def test_wide_characters_take_two_columns() -> None:
    """Unicode Standard Annex 11: W and F are wide; combining marks (category M, class not 0) take no column."""
    assert cells("箏") == 2
    assert cells("Ⓐ") == 1
    assert cells("e\u0301") == 1
    assert list(wrap("箏箏箏箏", 5)) == ["箏箏", "箏箏"]


def test_cut_ends_at_a_word() -> None:
    assert cut("Invented Handbook of the Bridge, page 12", 32) == "Invented Handbook of the …"
    assert cut("short", 30) == "short"


@given(st.text(st.characters(codec="utf-8"), max_size=200), st.integers(2, 60))
def test_wrapping_loses_nothing_and_keeps_the_width(text: str, width: int) -> None:
    lines = list(wrap(text, width))
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(cells(line) <= width for line in lines)


@given(st.text(max_size=120), st.integers(12, 60))
def test_cut_keeps_the_width(text: str, width: int) -> None:
    assert cells(cut(text, width)) <= max(width, 0)


def test_shapes_and_words_agree_for_every_grade() -> None:
    assert {grade: Sheet().shape(grade) for grade in Grade} == {Grade.HALT: "■", Grade.QUERY: "○", Grade.TIDY: "\N{EN DASH}"}
    assert len({Sheet(unicode=False).shape(grade) for grade in Grade}) == 3
