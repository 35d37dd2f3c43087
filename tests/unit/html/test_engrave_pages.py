"""Pages while the engraver fails: every other picture is there, the place is told in words with the reason, one child a page.

The child is made to die, to hang or to draw an empty page; verovio is not needed.
"""

from __future__ import annotations

import subprocess

import pytest

from tests.unit.html.test_compared import NEW, OLD, document
from tests.unit.html.test_page import classed, parsed, words_of
from xmlcheck import engrave, engrave_apart
from xmlcheck.comparing import compare
from xmlcheck.document import Document
from xmlcheck.engrave_apart import GIVEN_UP, STOPPED, TOO_LONG
from xmlcheck.finding import Report
from xmlcheck.output import html
from xmlcheck.output.html import compared, words

EMPTY = "<svg xmlns='http://www.w3.org/2000/svg'><svg viewBox='0 0 9 9'><g class='page-margin'/></svg></svg>"
RUN = """
import json, sys; sys.path[:] = json.loads(sys.argv[1])
import os, signal
from xmlcheck import engrave_child
class Toolkit:
    def loadData(self, text):
        self.text = text
        return True
    def renderToSVG(self, page):
        if DIES in self.text:
            os.kill(os.getpid(), signal.SIGFPE)
        while HANGS in self.text:
            pass
        return EMPTY
engrave_child._toolkit = Toolkit
engrave_child.main(float(sys.argv[2]))
"""


@pytest.fixture
def children(monkeypatch: pytest.MonkeyPatch) -> list[subprocess.Popen[bytes]]:
    """The children that were started."""
    made: list[subprocess.Popen[bytes]] = []
    popen = engrave_apart._popen

    def kept() -> subprocess.Popen[bytes]:
        made.append(popen())
        return made[-1]

    monkeypatch.setattr(engrave_apart, "_popen", kept)
    monkeypatch.setattr(engrave, "_toolkit", lambda: "installed")
    engrave._drawn.cache_clear()
    monkeypatch.setattr(engrave_apart, "LIMIT", 1.0)
    return made


def told_to(monkeypatch: pytest.MonkeyPatch, dies: str = "no such text", hangs: str = "no such text") -> None:
    """Has the child die over a score with one text in it, and hang over one with the other."""
    told = RUN.replace("DIES", repr(dies)).replace("HANGS", repr(hangs)).replace("EMPTY", repr(EMPTY))
    monkeypatch.setattr(engrave_apart, "_RUN", told)


@pytest.mark.parametrize(("manner", "reason"), [("dies", STOPPED), ("hangs", TOO_LONG)])
def test_what_ends_the_engraver_costs_its_own_picture(
    demo: Report,
    demo_document: Document,
    children: list[subprocess.Popen[bytes]],
    monkeypatch: pytest.MonkeyPatch,
    manner: str,
    reason: str,
) -> None:
    odd = next(finding for finding in demo.findings if finding.notes and finding.place.measure_index)
    text = f'id="a{odd.notes[0].anchor}"'
    told_to(monkeypatch, **{manner: text})
    root = parsed(html.make(demo, demo_document))
    engrave._drawn.cache_clear()
    articles = {item.get("id"): item for item in classed(root, "finding")}
    lost = articles[f"f{odd.number}"]
    assert [words_of(item) for item in classed(lost, "undrawn")] == [reason]
    assert not classed(lost, "music")
    assert f"Notes concerned: {words.notes(odd.notes)}." in words_of(lost)
    others = [item for item in articles.values() if not classed(item, "undrawn")]
    assert len(others) >= len(articles) / 2
    places = {f"f{item.number}" for item in demo.findings if item.part is not None and item.place.measure_index is not None}
    assert all(len(classed(item, "music")) == 1 for item in others if item.get("id") in places)
    assert html.WITHOUT_ENGRAVER not in words_of(root)
    assert 2 <= len(children) <= engrave_apart.DEATHS
    assert all(process.returncode is not None for process in children)


def test_an_engraver_that_always_stops_is_not_tried_for_ever(
    demo: Report, demo_document: Document, children: list[subprocess.Popen[bytes]], monkeypatch: pytest.MonkeyPatch
) -> None:
    told_to(monkeypatch, dies="measure")
    root = parsed(html.make(demo, demo_document))
    engrave._drawn.cache_clear()
    reasons = [words_of(item) for item in classed(root, "undrawn")]
    assert {STOPPED, GIVEN_UP} >= set(reasons)
    assert GIVEN_UP in reasons
    assert not classed(root, "music")
    assert len(classed(root, "finding")) == len(demo.findings)
    assert classed(root, "reach"), "compass pictures are drawn by ourselves"
    assert html.WITHOUT_ENGRAVER not in words_of(root), "installed it is"
    assert len(children) == engrave_apart.DEATHS
    assert all(process.returncode is not None for process in children)


def test_one_child_draws_a_page_and_is_gone_after_it(
    demo: Report, demo_document: Document, children: list[subprocess.Popen[bytes]], monkeypatch: pytest.MonkeyPatch
) -> None:
    told_to(monkeypatch)
    root = parsed(html.make(demo, demo_document))
    assert len(classed(root, "music")) > 10
    assert not classed(root, "undrawn")
    assert [process.returncode is not None for process in children] == [True]
    html.make(demo, demo_document)
    engrave._drawn.cache_clear()
    assert len(children) == 1, "nothing was left to draw"


def test_of_a_comparison_the_other_side_is_drawn(
    children: list[subprocess.Popen[bytes]], monkeypatch: pytest.MonkeyPatch
) -> None:
    told_to(monkeypatch, dies="<step>B</step>")
    root = parsed(compared.make(compare(OLD, NEW).to_dict(), document(OLD), document(NEW)))
    engrave._drawn.cache_clear()
    assert len(classed(root, "music")) == 1
    (reason,) = classed(root, "undrawn")
    assert words_of(reason) == f"New, bar 2: {STOPPED}"
    assert len(children) == 1
    assert all(process.returncode is not None for process in children)
