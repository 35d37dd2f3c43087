"""Plans of winds: the line for the head of a part in the instrument's own custom, changes in long rests, and where breaths go.

Custom: S40 and S142 of the dizi (named by the do of its home key), S65 of the shakuhachi (by length), S328 of the ney (by ahenk),
S310 of the whistle (by its lowest note). The tune of each case is ours.
"""

from __future__ import annotations

import pytest

from tests.external.winds_planted import registry
from xmlcheck.annotation import player_copy, unmark
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Report
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini


def checked(heading: str, instrument: str, notes: str) -> tuple[bytes, Report]:
    data = mini.score([mini.Part(notes, heading)])
    return data, check_source(from_bytes(data, "plan"), registry(), Config(), given={"P1": instrument})


def lines(report: Report, kind: str) -> list[tuple[str | None, str]]:
    return [(line.place.bar, line.text) for plan in report.plans if plan.kind == kind for line in plan.lines]


@pytest.mark.parametrize(
    ("heading", "instrument", "notes", "line"),
    [
        ("Dizi in D", "dizi-qudi", "transpose=0/0/1 key=2 D4.q E4 F#4 A4", "dizi 1=D, lowest A4"),
        ("Qudi", "dizi-qudi", "transpose=0/0/1 key=-3 tempo=96 Bb3.q C4 D4 Eb4 | F4.q G4 Ab4 Bb4", "dizi 1=Eb, lowest Bb4"),
        ("Shakuhachi 1.6", "shakuhachi", "E4.q G4 A4 B4", "shakuhachi 1.6, lowest E4"),
        ("Shakuhachi", "shakuhachi", "D4.q F4 G4 A4", "shakuhachi 1.8, lowest D4"),
        ("Tin Whistle in Eb", "tin-whistle", "transpose=0/0/1 key=-3 Eb4.q F4 G4 Ab4", "whistle in E flat, lowest Eb5"),
        ("Davud Ney", "ney-turkish", "A4.q B4 C5 D5", "Davud ney, lowest E3"),
    ],
)
def test_the_line_for_the_head_of_a_part(heading: str, instrument: str, notes: str, line: str) -> None:
    data, report = checked(heading, instrument, notes)
    assert lines(report, "size") == [("1", line)]
    copy = player_copy(data, report)
    assert line.encode() in copy
    assert unmark(copy) == data


def test_a_change_in_a_long_rest() -> None:
    notes = """transpose=0/0/1 key=2 tempo=80 D4.q E4 F#4 G4 | A4.q B4 C#5 D5 | F#5.q E5 D5 C#5 | B4.q A4 G4 F#4 | R | R
    | key=-3 Eb4.q F4 G4 Ab4 | Bb4.q C5 D5 Eb5 | G5.q F5 Eb5 D5 | C5.q Bb4 Ab4 G4 | F4.q Ab4 G4 F4 | Eb4.w"""
    _, report = checked("Whistle", "tin-whistle", notes)
    assert lines(report, "size") == [("1", "whistle in D, lowest D5"), ("7", "whistle in E flat, lowest Eb5")]


def test_no_change_without_time() -> None:
    notes = "transpose=0/0/1 key=2 tempo=80 D4.q F#4 A4 D5 | C#5.q B4 A4 F#4 | Eb4.q G4 Bb4 Eb5 | D5.q C5 Bb4 Ab4"
    _, report = checked("Whistle", "tin-whistle", notes)
    assert len(lines(report, "size")) == 1


def test_breaths_go_where_slurs_end() -> None:
    notes = "tempo=60 <mf> {x4 C5.q!slur=start D5 E5 D5!slur=stop} | R"
    data, report = checked("Solo Flute", "flute", notes)
    places = [(line.place.bar, line.place.beat) for plan in report.plans if plan.kind == "breath" for line in plan.lines]
    assert places == [("2", "4")], "16 s, 10 s a breath: one breath, at the end of a slur, not inside one"
    assert [f.rule for f in report.findings if f.rule.startswith("breath")] == []
    assert unmark(player_copy(data, report)) == data


def test_the_slurs_of_a_sustained_patch_do_not_forbid_a_breath() -> None:
    notes = "tempo=60 <mf> C5.q!slur=start {x11 D5.e E5} D5.h E5.h!slur=stop | R"
    _, report = checked("Solo Flute", "flute", notes)
    assert [f.rule for f in report.findings if f.rule.startswith("breath")] == []
    assert lines(report, "breath")
