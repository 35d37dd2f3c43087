"""The page: one file, complete without network, script policy by hash, every text escaped, the same each time.

Checked against outside things: an independent HTML5 parser (html5lib, strict), the Content Security Policy's own rule that an
inline element runs if the hash of its text is listed (W3C CSP Level 3, 6.7.2.4), RFC 4648 base64.
"""

from __future__ import annotations

import base64
import hashlib
import re
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import html5lib
import pytest

from tests.pages import DEMO
from xmlcheck import engrave
from xmlcheck.document import Document
from xmlcheck.errors import BadConfig
from xmlcheck.finding import Acceptance, Finding, Grade, Report
from xmlcheck.output import html
from xmlcheck.output import json as findings_file
from xmlcheck.output.html import render, strip, views, words

XHTML, SVG = "{http://www.w3.org/1999/xhtml}", "{http://www.w3.org/2000/svg}"
engraver = pytest.mark.skipif(not engrave.available(), reason="verovio is not installed (extra: report)")


def parsed(text: str) -> Any:
    parser = html5lib.HTMLParser(tree=html5lib.getTreeBuilder("lxml"), strict=True)
    return parser.parse(text).getroot()


def elements(root: Any, name: str) -> list[Any]:
    return [item for item in root.iter() if item.tag in (f"{XHTML}{name}", f"{SVG}{name}")]


def classed(root: Any, name: str) -> list[Any]:
    return [item for item in root.iter() if isinstance(item.tag, str) and name in (item.get("class") or "").split()]


def words_of(item: Any) -> str:
    return " ".join("".join(item.itertext()).split())


@pytest.fixture(scope="module")
def text(demo: Report, demo_document: Document) -> str:
    return html.make(demo, demo_document)


def test_every_finding_is_told_with_place_what_why_what_to_do_who_and_how_sure(text: str, demo: Report) -> None:
    root = parsed(text)
    articles = {item.get("id"): item for item in classed(root, "finding")}
    assert len(articles) == len(demo.findings) > 20
    for finding in demo.findings:
        told = words_of(articles[f"f{finding.number}"])
        told = " ".join(told.split())
        for wanted in (
            f"{finding.grade.value} {finding.number}", words.signs(finding.label), words.where(finding.place), finding.rule,
            words.sentence(finding.message), words.sentence(finding.why), words.sentence(finding.remedy), finding.to,
            *map(words.sentence, finding.alternatives), words.sentence(finding.caution or ""),
        ):  # fmt: skip
            assert " ".join(wanted.split()) in told
        for voucher in words.vouchers(finding):
            assert " ".join(voucher.value.split()) in told
            assert f"{voucher.certainty}: {voucher.meaning}" in told
            assert " ".join(voucher.source.split()) in told
        assert words.SHAPES[finding.grade] in told


@engraver
def test_every_finding_with_a_bar_has_a_picture_with_its_notes_marked(text: str, demo: Report) -> None:
    root = parsed(text)
    articles = {item.get("id"): item for item in classed(root, "finding")}
    marked = 0
    for finding in demo.findings:
        if finding.part is None or finding.place.measure_index is None:
            continue
        article = articles[f"f{finding.number}"]
        assert len(classed(article, "music")) == 1
        there = {item.get("data-note-marked") for item in article.iter() if item.get("data-note-marked")}
        if finding.notes:
            assert there, f"finding {finding.number}"
            assert there <= {f"a{note.anchor}" for note in finding.notes}
            marked += len(there)
    assert marked > 30


@engraver
def test_outlines_stand_once_in_the_page_and_ids_are_unique(text: str) -> None:
    root = parsed(text)
    ids = [item.get("id") for item in root.iter() if isinstance(item.tag, str) and item.get("id")]
    assert len(ids) == len(set(ids))
    assert len(elements(root, "defs")) == 1
    for item in root.iter():
        target = item.get("href") if isinstance(item.tag, str) else None
        if target is not None:
            assert target.startswith("#")
            assert target[1:] in ids, "no link leads out of the page or nowhere"


def test_nothing_is_fetched(text: str) -> None:
    root = parsed(text)
    for item in root.iter():
        if not isinstance(item.tag, str):
            continue
        assert item.tag.rpartition("}")[2] not in (
            "link",
            "img",
            "iframe",
            "object",
            "embed",
            "base",
            "image",
            "audio",
            "video",
        )
        assert not {"src", "srcset", "data", "poster", "background", "ping", "formaction"} & set(item.attrib)
        assert not any(name.startswith("on") or name == "style" for name in item.attrib)
    style = elements(root, "style")[0].text
    assert "url(" not in style
    assert "@import" not in style


def test_the_policy_lets_only_the_page_s_own_style_and_script_run(text: str) -> None:
    root = parsed(text)
    policy = next(item.get("content") for item in elements(root, "meta") if item.get("http-equiv") == "Content-Security-Policy")
    rules = dict(part.strip().partition(" ")[::2] for part in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert set(rules) == {"default-src", "style-src", "script-src", "base-uri", "form-action"}
    for name, rule in (("style", "style-src"), ("script", "script-src")):
        (element,) = elements(root, name)
        digest = base64.b64encode(hashlib.sha256(element.text.encode()).digest()).decode()
        assert rules[rule] == f"'sha256-{digest}'"


@engraver
def test_hostile_texts_stay_texts_everywhere(hostile: Report, demo_document: Document, text: str) -> None:
    page = html.make(hostile, demo_document)
    root, clean = parsed(page), parsed(text)
    assert len(elements(root, "script")) == len(elements(root, "style")) == 1
    assert elements(root, "script")[0].text == elements(clean, "script")[0].text
    assert not elements(root, "img")
    assert {item.tag for item in root.iter() if isinstance(item.tag, str)} <= {
        *(item.tag for item in clean.iter() if isinstance(item.tag, str)),
        *(f"{XHTML}{name}" for name in ("strong", "dt", "dd", "details", "summary", "ul", "li", "td", "b", "title")),
        *(f"{SVG}{name}" for name in ("title", "path", "rect", "text", "ellipse", "tspan", "circle", "line")),
    }
    for item in root.iter():
        if isinstance(item.tag, str):
            assert not any(name.startswith("on") for name in item.attrib)
    shown = words_of(root)
    assert "<script>alert('x')</script>" in shown
    assert "{{ 7*7 }}" in shown
    assert "49" not in re.findall(r"onerror.{0,80}", shown)[0]
    for sign in ("\u202e", "\x1b", "\ud800"):
        assert sign not in page
    assert page.encode("utf-8")


def test_equal_reports_give_equal_pages(demo: Report, demo_document: Document, text: str) -> None:
    engrave._drawn.cache_clear()
    again = findings_file.parse(findings_file.text(demo), "saved")
    assert html.make(again, demo_document) == text


def test_a_saved_findings_file_needs_no_plugin(tmp_path: Path, demo: Report) -> None:
    """In a process of its own: no plugin is imported and no entry point is asked for."""
    saved = tmp_path / "cue.findings.json"
    saved.write_text(findings_file.text(demo), encoding="utf-8")
    code = (
        "import sys, importlib.metadata as m\n"
        "m.entry_points = lambda **_: (_ for _ in ()).throw(SystemExit('asked for plugins'))\n"
        "from xmlcheck.cli import main\n"
        f"main(['report', {str(saved)!r}, '--score', {str(DEMO)!r}, '--quiet'], standalone_mode=False)\n"
        "print(sorted(n for n in sys.modules if n.startswith('xmlcheck_')))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["[]"], done.stderr
    assert (tmp_path / "cue.report.html").stat().st_size > 50_000


def test_without_the_score_the_same_is_told_in_words(demo: Report) -> None:
    page = html.make(demo)
    root = parsed(page)
    assert html.WITHOUT_SCORE in words_of(root)
    assert not classed(root, "music")
    for article in classed(root, "finding"):
        finding = next(item for item in demo.findings if f"f{item.number}" == article.get("id"))
        if finding.notes:
            assert f"Notes concerned: {words.notes(finding.notes)}." in words_of(article)


def test_without_the_engraver_the_same_is_told_in_words(
    demo: Report, demo_document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    engrave._drawn.cache_clear()
    monkeypatch.setattr(engrave, "_toolkit", lambda: None)
    root = parsed(html.make(demo, demo_document))
    engrave._drawn.cache_clear()
    assert html.WITHOUT_ENGRAVER in words_of(root)
    assert not classed(root, "music")
    assert len(classed(root, "finding")) == len(demo.findings)
    assert classed(root, "reach"), "compass pictures are drawn by ourselves"


def test_another_score_is_refused(demo: Report) -> None:
    with pytest.raises(BadConfig, match="SHA-256 differs"):
        html.document_of(demo, DEMO.with_name("the-crossing.clean.musicxml").read_bytes(), "clean")
    assert html.document_or_none(demo, b"no score", "x") is None


def test_bars_of_the_strip_lead_to_their_findings(text: str, demo: Report) -> None:
    root = parsed(text)
    for number, part in enumerate(demo.parts, 1):
        section = next(item for item in root.iter() if isinstance(item.tag, str) and item.get("id") == f"p{number}")
        cells = [item for item in classed(section, "strip")[0] if item.tag == f"{XHTML}li"]
        assert len(cells) == part.measures == 40
        for finding in demo.findings:
            if finding.part == part.id and finding.place.measure_index is not None and finding.accepted is None:
                cell = cells[finding.place.measure_index]
                (link,) = classed(cell, "hit")
                assert f"{finding.grade.value} {finding.number}" in link.get("aria-label")
    assert {item.text for item in classed(root, "rehearsal")} == {"A", "B", "C", "D"}


def test_accepted_findings_are_told_apart_and_not_ticked(demo: Report) -> None:
    first = replace(demo.findings[0], accepted=Acceptance("Ines", "played it before"))
    root = parsed(html.make(replace(demo, findings=(first, *demo.findings[1:]))))
    article = next(item for item in classed(root, "finding") if item.get("id") == f"f{first.number}")
    assert "data-accepted" in article.attrib
    assert "Accepted by Ines: played it before." in words_of(article)
    rows = [row.get("data-of") for row in root.iter(f"{XHTML}tr") if row.get("data-of")]
    assert rows == [f"f{finding.number}" for finding in demo.findings if finding is not demo.findings[0]] or len(rows) == (
        len(demo.findings) - 1
    )
    assert f"f{first.number}" not in rows


def test_findings_of_no_part_come_first(demo: Report) -> None:
    loose = replace(demo.findings[0], number=900, part=None)
    view = views.page(replace(demo, findings=(*demo.findings, loose)), None)
    assert view.parts[0].key == views.WHOLE
    assert view.findings[0].number == 900


def test_long_cues_draw_bars_of_nothing_together() -> None:
    found = [(finding(7, Grade.QUERY), (199,)), (finding(8, Grade.HALT), (199, 200))]
    names = strip.Strips({"P1": tuple(str(number) for number in range(1, 301))}, {})
    cells = strip.cells("P1", 300, names, found)
    assert len(cells) == 300
    assert cells[199].told == "bar 200: halt 8, query 7"
    together = strip.gathered(cells)
    assert [cell.number for cell in together] == ["1-199", "200", "201", "202-300"]
    assert sum(cell.bars for cell in together) == 300
    systems = strip.systems([strip.Row("p1", "X", cells), strip.Row("p2", "Y", cells[:10])])
    assert len(systems) == 1, "only systems with findings"
    assert [row.name for row in systems[0].rows] == ["X"]


def finding(number: int, grade: Grade) -> Finding:
    from xmlcheck.finding import Certainty, Place

    return Finding(str(number), number, "a.b", grade, Certainty.MEMORY, "P1", None, "", "", "", "", Place(), {})


def test_own_pages_are_known_while_nobody_has_edited_them(text: str) -> None:
    data = text.encode()
    assert render.own_untouched(data)
    assert not render.own_untouched(data.replace(b"halt", b"fine", 1))
    assert not render.own_untouched(data + b"\n")
    assert not render.own_untouched(b"<html></html>")


@engraver
def test_the_demo_cue_is_fast_and_small(demo: Report) -> None:
    """Bounds of the task: a 40-bar eight-part cue (this one has ten) in under 3 s and 1.5 MB."""
    engrave._drawn.cache_clear()
    start = time.perf_counter()
    page = html.make(demo, html.document_of(demo, DEMO.read_bytes(), DEMO.name))
    assert time.perf_counter() - start < 3
    assert len(page.encode()) < 1_500_000


@engraver
def test_a_thousand_findings_are_fast_enough(thousand: Report, demo_document: Document) -> None:
    engrave._drawn.cache_clear()
    start = time.perf_counter()
    page = html.make(thousand, demo_document)
    assert time.perf_counter() - start < 20
    assert page.count('<article class="finding"') == 1000
