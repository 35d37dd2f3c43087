"""WCAG 2.2 AA as far as a machine can tell: axe-core finds no violation, in light and dark, on desk and phone, in each order."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from tests import pages
from tests.browser.conftest import Pages
from tests.unit.html.test_compared import ANSWER, SHEET
from xmlcheck.comparing import compare
from xmlcheck.document import parse
from xmlcheck.output.html import compared, handed, instrument
from xmlcheck.registry import discover
from xmlcheck.source import read_source

_SPEC = find_spec("axe_playwright_python")
pytestmark = pytest.mark.skipif(_SPEC is None, reason="axe-core is not installed (axe-playwright-python; extra: test)")
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 800}


def violations(page: Any) -> list[str]:
    assert _SPEC is not None
    # The page's policy lets no foreign script in, so axe is evaluated, not added.
    page.evaluate((Path(str(_SPEC.origin)).parent / "axe.min.js").read_text(encoding="utf-8"))
    # What is not drawn yet (content-visibility) has no colours to check: all is drawn first.
    page.evaluate("document.querySelectorAll('.finding, #ticks').forEach((e) => { e.style.contentVisibility = 'visible'; })")
    found = page.evaluate("levels => axe.run({ runOnly: levels })", LEVELS)
    assert len(found["passes"]) > 20, "axe has looked"
    return [f"{item['impact']} {item['id']}: {item['nodes'][0]['html'][:200]}" for item in found["violations"]]


@pytest.mark.parametrize(
    ("scheme", "viewport"),
    [
        pytest.param("light", DESK, id="light-desk"),
        pytest.param("dark", PHONE, id="dark-phone"),
        pytest.param("dark", DESK, id="dark-desk", marks=pytest.mark.long),
        pytest.param("light", PHONE, id="light-phone", marks=pytest.mark.long),
    ],
)
def test_the_report(browser_pages: Pages, scheme: str, viewport: dict[str, int]) -> None:
    page, _ = browser_pages.demo(color_scheme=scheme, viewport=viewport)
    assert violations(page) == []


@pytest.mark.parametrize("order", ["grade", "rule"])
def test_the_report_in_another_order(browser_pages: Pages, order: str) -> None:
    page, _ = browser_pages.demo()
    page.check(f"input[name=order][value={order}]")
    page.click("summary:has-text('Keys')")
    assert violations(page) == []


def test_the_report_with_accepted_findings_done_ones_and_hostile_names(browser_pages: Pages) -> None:
    page, _ = browser_pages.open(browser_pages.file("hostile", pages.hostile()), color_scheme="dark")
    page.check("input[name=accepted]")
    page.locator(".finding .tick").first.check()
    assert violations(page) == []


@pytest.mark.parametrize(
    ("id", "scheme"),
    [
        ("koto", "light"),
        pytest.param("shakuhachi", "dark", marks=pytest.mark.long),
        pytest.param("violin", "light", marks=pytest.mark.long),
    ],
)
def test_instrument_pages(browser_pages: Pages, scheme: str, id: str) -> None:
    registry = discover()
    text = instrument.make(registry.profile(id), registry.names.entries[id], registry)
    page, seen = browser_pages.open(browser_pages.file(f"instrument-{id}", text=text), color_scheme=scheme)
    assert seen.requests == [page.url]
    assert seen.errors == []
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_a_comparison_and_a_handoff(browser_pages: Pages) -> None:
    new = pages.DEMO.with_name("the-crossing.clean.musicxml")
    comparison = compare(pages.DEMO, new).to_dict()
    texts = {
        "compared": compared.make(comparison, parse(read_source(pages.DEMO)), parse(read_source(new))),
        "handed": handed.make(ANSWER, {"Koto.md": SHEET}),
    }
    for name, text in texts.items():
        page, seen = browser_pages.open(browser_pages.file(name, text=text), viewport=PHONE)
        page.keyboard.press("j")
        assert page.evaluate("document.activeElement.className.startsWith('finding')")
        page.check("input[name=order][value=grade]")
        page.keyboard.press("1")
        assert not page.is_checked("input[name=grade] >> nth=0")
        page.keyboard.press("Escape")
        assert violations(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        assert (seen.requests, seen.errors) == ([page.url], [])
