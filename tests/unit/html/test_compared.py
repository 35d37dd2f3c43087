"""A comparison's page: each change with old over new and its notes marked; findings and pages as tables; a handoff's page."""

from __future__ import annotations

from typing import Any

import pytest
from lxml import etree

from tests.pages import DEMO, HOSTILE
from tests.unit.html.test_page import XHTML, classed, elements, engraver, parsed, words_of
from xmlcheck.comparing import compare
from xmlcheck.document import Document, parse
from xmlcheck.output.html import compared, handed
from xmlcheck.output.html.markdown import blocks
from xmlcheck.output.html.words import signs
from xmlcheck.source import from_bytes, read_source
from xmlcheck.testing.mini import Part, score

OLD = score([Part("C5.q D5 E5 F5 | G5.h A5 | C5.w", name="Oboe"), Part("C3.w | D3.w | E3.w", name="Bassoon")])
NEW = score([Part("C5.q D5 E5 F5 | G5.h B5 | C5.w", name="Oboe"), Part("C3.w | D3.w | E3.w", name="Bassoon")])


def document(data: bytes, name: str = "x") -> Document:
    return parse(from_bytes(data, name))


def pitch(root: etree._Element, id: str) -> str:
    """Read from the file by its own order of elements, which is what an id counts."""
    from xmlcheck.document import ANCHORED

    note = list(root.iter(*ANCHORED))[int(id[1:])]
    return f"{note.findtext('pitch/step')}{note.findtext('pitch/octave')}"


@engraver
def test_a_changed_pitch_is_shown_old_over_new_with_the_note_marked_in_both() -> None:
    comparison = compare(OLD, NEW).to_dict()
    old, new = document(OLD), document(NEW)
    root = parsed(compared.make(comparison, old, new))
    (article,) = classed(root, "finding")
    assert "A5" in words_of(article)
    assert "B5" in words_of(article)
    assert article.get("data-grade") == "sound"
    upper, lower = (item for item in classed(article, "excerpt") if item.tag == f"{XHTML}figure")
    assert words_of(upper).endswith("Old, bar 2, as written.")
    assert words_of(lower).endswith("New, bar 2, as written.")
    for figure, source, wanted in ((upper, old, "A5"), (lower, new, "B5")):
        (marked,) = [item.get("data-note-marked") for item in figure.iter() if item.get("data-note-marked")]
        assert pitch(source.root, marked) == wanted
        assert not [item for item in figure.iter() if "halt" in (item.get("class") or "")], "a change is no finding"


@engraver
def test_the_demo_and_its_clean_version(demo_document: Document) -> None:
    clean = DEMO.with_name("the-crossing.clean.musicxml")
    comparison = compare(DEMO, clean).to_dict()
    text = compared.make(comparison, demo_document, parse(read_source(clean)))
    root = parsed(text)
    assert len(classed(root, "finding")) == len(comparison["changes"]) > 10
    shown = words_of(root)
    for item in comparison["changes"]:
        assert signs(item["label"]) in shown
    for item in comparison["reissue"]:
        assert signs(item["tell"]) in shown
    assert len(classed(root, "music")) > len(comparison["changes"])
    assert compared.make(comparison, demo_document, parse(read_source(clean))) == text


def test_without_the_scores_it_is_told_in_words() -> None:
    root = parsed(compared.make(compare(OLD, NEW).to_dict()))
    assert not classed(root, "music")
    assert len(classed(root, "finding")) == 1


def test_equal_files() -> None:
    assert "Nothing changed." in words_of(parsed(compared.make(compare(OLD, OLD).to_dict())))


ODD: tuple[dict[str, Any], ...] = (
    {},
    {"changes": 3, "parts": "x", "findings": [], "reissue": [1]},
    {"changes": [{"number": "x", "old": 5, "new": {"bar_index": -9, "at": "1/0"}, "items": [{"old": {"at": "no"}}]}]},
    {"parts": [{"old": None, "new": None}], "changes": [{"part": HOSTILE, "label": HOSTILE, "text": HOSTILE, "kind": HOSTILE}]},
)


@pytest.mark.parametrize("odd", ODD)
def test_odd_comparisons_still_give_a_page(odd: dict[str, Any]) -> None:
    root = parsed(compared.make(odd, document(OLD), document(NEW)))
    assert len(elements(root, "script")) == 1
    assert not elements(root, "img")


ANSWER: dict[str, Any] = {
    "schema": "handoff-1",
    "name": "Causeway <b>",
    "cues": [{"name": "1m1", "title": "The Crossing", "score": "1m1 score.musicxml", "bars": 40, "seconds": 125.0, "lines": []}],
    "files": [
        {"name": "1m1 score.musicxml", "role": "score", "cue": "1m1", "counts": {"halt": 2, "query": 0, "tidy": 1}},
        {"name": "notes.pdf", "role": "supplied", "cue": None, "counts": None},
    ],
    "disagreements": [
        {"kind": "music.pitch", "grade": "halt", "cue": "1m1", "file": "1m1 Koto.musicxml", "part": "Koto",
         "text": "Bb4 in the score is A4 in the part", "bar": "12", "to_bar": None, "to": "copyist", "values": {"also": ["x.y"]}},
        {"kind": "files.missing", "grade": "query", "cue": None, "file": None, "part": None, "text": HOSTILE, "to": "librarian"},
    ],
    "inferred": ["No handoff.toml"],
    "summary": {"halt": 1, "query": 1, "tidy": 0},
}  # fmt: skip
SHEET = "# Koto, Aiko\n\nPitch standard: A4 = 442 Hz\n\n## Cue 1m1\n- tuning on D\n- second\n\n| part | halt |\n|---|---|\n| Koto | 2 |\n"


def test_a_handoff_shows_what_does_not_agree_cue_by_cue_and_the_sheets() -> None:
    root = parsed(handed.make(ANSWER, {"Koto.md": SHEET, "bad.md": f"# {HOSTILE}\n- {HOSTILE}\n"}))
    first, second = classed(root, "finding")
    told = words_of(first)
    for wanted in (
        "halt 1",
        "Koto",
        "Cue 1m1",
        "bar 12",
        "B♭4 in the score is A4 in the part.",
        "music.pitch",
        "copyist",
        "x.y",
    ):
        assert wanted in told
    assert first.get("data-part") == "c1"
    assert second.get("data-part") == "whole"
    shown = words_of(root)
    for wanted in (
        "Causeway <b>",
        "Cue 1m1: The Crossing",
        "40 bars, 2:05",
        "not checked",
        "No handoff.toml",
        "Koto, Aiko",
        "tuning on D",
    ):
        assert wanted in shown
    assert not elements(root, "img")
    assert len(elements(root, "script")) == 1


def test_sheets_are_read_as_they_are_written() -> None:
    kinds = [(block.kind, block.text or block.rows) for block in blocks(SHEET)]
    assert kinds == [
        ("h1", "Koto, Aiko"),
        ("p", "Pitch standard: A4 = 442 Hz"),
        ("h2", "Cue 1m1"),
        ("list", (("tuning on D",), ("second",))),
        ("table", (("part", "halt"), ("Koto", "2"))),
    ]


@pytest.mark.parametrize("odd", [{}, {"cues": [{}], "files": [{}], "disagreements": [{}, 4], "summary": 3}, {"cues": {"a": 1}}])
def test_odd_answers_still_give_a_page(odd: dict[str, Any]) -> None:
    assert len(elements(parsed(handed.make(odd)), "script")) == 1
