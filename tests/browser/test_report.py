"""The report in a real browser: it opens from disk, filters, is led by keys, copies, prints, and lets nothing else run."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

import pytest

from tests import pages
from tests.browser.conftest import Pages
from xmlcheck.finding import Grade

VISIBLE = ".finding:not([hidden])"


def shown(page: Any) -> list[str]:
    """Ids of the findings in sight, in page order."""
    found: list[str] = page.eval_on_selector_all(
        "#findings .finding", "all => all.filter(e => e.checkVisibility()).map(e => e.id)"
    )
    return found


def active(page: Any) -> str:
    return str(page.evaluate("document.activeElement.id"))


def test_it_opens_from_disk_and_asks_the_network_for_nothing(browser_pages: Pages) -> None:
    page, seen = browser_pages.demo()
    assert page.title() == "the-crossing.musicxml: findings"
    assert page.locator("h1").inner_text() == "the-crossing.musicxml"
    findings = pages.demo().findings
    assert len(shown(page)) == len(findings)
    assert page.locator("#status").inner_text() == f"{len(findings)} findings"
    assert seen.requests == [page.url]
    assert (seen.errors, seen.dialogs) == ([], [])


def test_pictures_have_ink_and_marks_that_can_be_seen(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    figure = page.locator(".finding svg.music").first
    figure.scroll_into_view_if_needed()
    boxes = figure.evaluate(
        "svg => ({uses: [...svg.querySelectorAll('use')].map(e => e.getBoundingClientRect().width),"
        " lines: [...svg.querySelectorAll('path')].map(e => getComputedStyle(e).stroke),"
        " marks: [...svg.querySelectorAll('.mark > *')].map(e => e.getBoundingClientRect().height)})"
    )
    assert boxes["uses"]
    assert min(boxes["uses"]) > 1, "every sign finds its outline"
    assert set(boxes["lines"]) == {"rgb(17, 17, 17)"}
    assert boxes["marks"]


@pytest.mark.parametrize("width", [360, 768, 1280, 2000])
def test_nothing_runs_out_of_the_window(browser_pages: Pages, width: int) -> None:
    page, _ = browser_pages.demo(viewport={"width": width, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_filters_agree_with_the_report(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    report = pages.demo()
    grades = Counter(finding.grade.value for finding in report.findings)
    page.uncheck("input[value=query]")
    page.uncheck("input[value=tidy]")
    assert len(shown(page)) == grades["halt"]
    assert page.locator("#status").inner_text() == f"{grades['halt']} of {len(report.findings)} findings shown"
    assert page.eval_on_selector_all("#ticks tbody tr", "all => all.filter(r => !r.hidden).length") == grades["halt"]
    page.keyboard.press("Escape")
    assert len(shown(page)) == len(report.findings)
    part = next(number for number, part in enumerate(report.parts, 1) if part.name == "Koto")
    page.select_option("select[name=part]", f"p{part}")
    of_part = [f"f{finding.number}" for finding in report.findings if finding.part == report.parts[part - 1].id]
    assert sorted(shown(page)) == sorted(of_part)
    page.select_option("select[name=part]", "")
    rule = Counter(finding.rule for finding in report.findings).most_common(1)[0][0]
    page.select_option("select[name=rule]", rule)
    assert sorted(shown(page)) == sorted(f"f{finding.number}" for finding in report.findings if finding.rule == rule)


def test_search_finds_words_in_any_order(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    finding = next(item for item in pages.demo().findings if item.place.bar is not None and item.part is not None)
    part = next(part.name for part in pages.demo().parts if part.id == finding.part)
    page.fill("input[type=search]", f"bar {finding.place.bar} {part}".upper())
    assert f"f{finding.number}" in shown(page)
    page.fill("input[type=search]", "no finding says this")
    assert shown(page) == []
    assert page.locator("#status").inner_text().startswith("0 of ")


@pytest.mark.parametrize("kind", ["grade", "rule"])
def test_the_order_changes_and_comes_back(browser_pages: Pages, kind: str) -> None:
    page, _ = browser_pages.demo()
    before = shown(page)
    page.check(f"input[name=order][value={kind}]")
    after = shown(page)
    assert sorted(after) == sorted(before)
    by_id = {f"f{finding.number}": finding for finding in pages.demo().findings}
    keys = [by_id[id].grade.value if kind == "grade" else by_id[id].rule for id in after]
    assert [key for at, key in enumerate(keys) if at == 0 or keys[at - 1] != key] == (
        [grade.value for grade in reversed(Grade) if grade.value in keys] if kind == "grade" else sorted(set(keys))
    ), "each group once, in order"
    heads = page.locator(".group.made h2").all_inner_texts()
    assert len(heads) == len(set(keys))
    page.check("input[name=order][value=part]")
    assert shown(page) == before


def test_keys_lead_through_the_findings(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    order = shown(page)
    page.keyboard.press("j")
    assert active(page) == order[0]
    page.keyboard.press("j")
    page.keyboard.press("j")
    assert active(page) == order[2]
    assert page.evaluate("(r => r.top >= 0 && r.top < innerHeight)(document.activeElement.getBoundingClientRect())")
    page.keyboard.press("k")
    assert active(page) == order[1]
    page.keyboard.press("2")
    assert not page.is_checked("input[value=query]")
    page.keyboard.press("2")
    page.keyboard.press("/")
    page.keyboard.type("jjkk12")
    assert page.input_value("input[type=search]") == "jjkk12", "keys are letters where one writes"
    page.keyboard.press("Escape")
    assert len(shown(page)) == len(order)


def test_single_keys_can_be_turned_off(browser_pages: Pages) -> None:
    """WCAG 2.2, 2.1.4 Character Key Shortcuts: a mechanism is available to turn the shortcut off."""
    page, _ = browser_pages.demo()
    page.click("summary:has-text('Keys')")
    page.uncheck("input[name=keys]")
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("j")
    assert active(page) == ""


def test_everything_can_be_reached_with_tab_alone(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert active(page) == "findings"
    reached = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.className || document.activeElement.tagName"))
    assert {"hit halt", "tick", "copy"} <= reached


def test_the_strip_leads_to_the_finding_even_if_it_is_filtered_away(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    page.uncheck("input[value=halt]")
    link = page.locator("table.system a.hit.halt").first
    target = str(link.get_attribute("href"))[1:]
    assert target not in shown(page)
    link.click()
    page.wait_for_function("id => document.activeElement.id === id", arg=target)
    assert target in shown(page)
    assert page.evaluate("(r => r.top >= -1 && r.top < innerHeight)(document.activeElement.getBoundingClientRect())")


def test_a_finding_is_copied_as_a_note(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo(permissions=["clipboard-read", "clipboard-write"])
    finding = next(item for item in pages.demo().findings if item.grade is Grade.HALT)
    page.locator(f"#f{finding.number} button.copy").click()
    page.wait_for_function("() => document.getElementById('status').textContent.includes('copied')")
    note = page.evaluate("navigator.clipboard.readText()")
    part = next(part.name for part in pages.demo().parts if part.id == finding.part)
    assert note.startswith(f"{part}, bar")
    for wanted in (f"halt {finding.number}", "What to do: ", "Who says so: "):
        assert wanted in note
    page.click("#copy-all")
    page.wait_for_function("() => document.getElementById('status').textContent.includes('copied as notes')")
    assert page.evaluate("navigator.clipboard.readText()").count("Who says so: ") == len(pages.demo().findings)


def test_ticks_agree_and_are_kept(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    first, second = shown(page)[:2]
    page.locator(f"#{first} .tick").check()
    assert page.locator(f"tr[data-of={first}] .tick").is_checked()
    page.locator(f"tr[data-of={second}] .tick").check()
    assert page.locator(f"#{second} .tick").is_checked()
    page.check("input[name=open]")
    assert not {first, second} & set(shown(page))
    page.reload()
    assert page.locator(f"#{first} .tick").is_checked()
    page.locator(f"#{first}").focus()
    page.keyboard.press("x")
    assert not page.locator(f"tr[data-of={first}] .tick").is_checked()


def test_it_prints(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo()
    page.evaluate("window.print = () => { window.asked = document.body.className; }")
    whole = page.pdf(format="A4")
    page.click("#print-ticks")
    assert page.evaluate("window.asked") == "only-ticks"
    page.emulate_media(media="print")
    assert page.locator("table.ticks").is_visible()
    assert not page.locator("#findings").is_visible()
    short = page.pdf(format="A4")
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.locator("#findings").is_visible()
    assert not page.locator("#controls").is_visible()
    assert not page.locator("button.copy").first.is_visible()
    for pdf in (whole, short):
        assert pdf.startswith(b"%PDF-")
    assert sheets(whole) >= 5
    assert 1 <= sheets(short) < sheets(whole)


def sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def test_printed_lines_stay_on_the_paper(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo(viewport={"width": 703, "height": 1000})  # A4 less the margins, in CSS pixels
    page.emulate_media(media="print")
    over = page.eval_on_selector_all(
        "table, .strip, .words, svg.music",
        "all => all.filter(e => e.getBoundingClientRect().right > 704).map(e => e.outerHTML.slice(0, 80))",
    )
    assert over == []


def test_without_script_all_is_there_to_read(browser_pages: Pages) -> None:
    page, _ = browser_pages.demo(java_script_enabled=False)
    assert page.locator(".finding").count() == len(pages.demo().findings)
    assert page.locator(".finding").first.is_visible()
    assert not page.locator("#controls").is_visible()
    assert not page.locator("button.copy").first.is_visible()


def test_hostile_names_run_nothing_and_fetch_nothing(browser_pages: Pages) -> None:
    page, seen = browser_pages.open(browser_pages.file("hostile", pages.hostile()))
    assert (seen.dialogs, seen.errors) == ([], [])
    assert seen.requests == [page.url]
    assert "<script>alert('x')</script>" in page.locator("h1").inner_text()
    assert page.locator("img").count() == 0
    assert page.locator("script").count() == 1
    assert len(shown(page)) == sum(finding.accepted is None for finding in pages.hostile().findings)
    page.check("input[name=order][value=rule]")
    page.check("input[name=accepted]")
    page.keyboard.press("j")
    page.fill("input[type=search]", "<script>")
    assert len(shown(page)) == len(pages.hostile().findings)
    assert (seen.dialogs, seen.errors) == ([], [])


def test_the_policy_stops_foreign_script_style_and_network(browser_pages: Pages) -> None:
    page, seen = browser_pages.demo()
    blocked = page.evaluate(
        """async () => {
          const stopped = [];
          document.addEventListener("securitypolicyviolation", (event) => stopped.push(event.effectiveDirective));
          const add = (tag, set) => { const e = document.createElement(tag); Object.assign(e, set); document.body.append(e); };
          add("script", { textContent: "window.foreign = true" });
          add("style", { textContent: "body { display: none }" });
          add("img", { src: "https://example.invalid/x.png" });
          add("div", { innerHTML: "<b onclick='window.foreign = true'>x</b>" });
          document.body.lastChild.firstChild.click();
          try { await fetch("https://example.invalid/x"); } catch { /* stopped */ }
          await new Promise((done) => setTimeout(done, 300));
          return { stopped, foreign: window.foreign === true, seen: document.body.checkVisibility() };
        }"""
    )
    assert not blocked["foreign"]
    assert blocked["seen"]
    assert {"script-src-elem", "style-src-elem", "img-src", "script-src-attr", "connect-src"} <= set(blocked["stopped"])
    assert set(seen.requests) - set(seen.blocked) == {page.url}
