"""The generated reference: a page for every rule and instrument, links that lead somewhere, what `about` says, equal bytes.

The anchors follow what GitHub documents for section links: the heading in small letters, spaces as hyphens, signs dropped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from xmlcheck.authoring.examples import examples, remarks
from xmlcheck.output import about, markdown, page, reference
from xmlcheck.output.reference import MADE
from xmlcheck.registry import Registry, discover

MOST = 1_600_000
"""Bytes of the whole reference: it is committed, and changes with every value."""


@cache
def registry() -> Registry:
    return discover()


@cache
def worked() -> dict[str, tuple[reference.Example, ...]]:
    return examples(registry())


@cache
def pages() -> dict[str, str]:
    return reference.pages(registry(), worked())


def links(name: str) -> Iterator[str]:
    """Addresses of the links on a page, code left out."""
    text = re.sub(r"```.*?```", "", pages()[name], flags=re.DOTALL)
    yield from re.findall(r"(?<!\\)\]\(([^)\s]+)\)", text)


def anchors(name: str) -> set[str]:
    headings = re.findall(r"^#+ (.*)$", pages()[name], flags=re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def resolved(name: str, address: str) -> str:
    """The page that an address on a page leads to."""
    folder = name.rpartition("/")[0]
    parts = folder.split("/") if folder else []
    for step in address.split("/"):
        if step == "..":
            parts.pop()
        else:
            parts.append(step)
    return "/".join(parts)


def test_every_rule_and_every_instrument_has_its_page() -> None:
    expected = {f"rules/{rule.id}.md" for rule in registry().rules}
    expected |= {f"instruments/{id}.md" for id in registry().names.entries}
    expected |= {f"families/{id}.md" for id, offer in registry().offers.items() if offer.abstract}
    assert pages().keys() == expected | {"README.md", "rules/README.md", "instruments/README.md"}
    assert all(text.startswith(MADE + "\n") for text in pages().values())


def test_every_link_leads_somewhere() -> None:
    broken = []
    for name in pages():
        for link in links(name):
            address, _, anchor = link.partition("#")
            target = resolved(name, address) if address else name
            if target not in pages() or (anchor and anchor not in anchors(target)):
                broken.append((name, link))
    assert broken == []


def test_every_page_is_reached_from_the_first() -> None:
    reached, waiting = set(), ["README.md"]
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting += [resolved(name, link.partition("#")[0]) for link in links(name)]
    assert reached == set(pages())


def test_a_rule_page_says_all_that_about_says_and_shows_it_at_work() -> None:
    for rule in registry().rules:
        text = pages()[f"rules/{rule.id}.md"]
        told = markdown.linked(text, {})
        for value in (
            rule.card.title,
            rule.card.why,
            rule.card.remedy,
            rule.card.message,
            rule.card.caution,
            rule.card.base_rate,
        ):
            assert markdown.escaped(page.printable(value)) in re.sub(r"\[([^\]]+)\]\([^)]+\.md\)", r"\1", told), rule.id
        for key in rule.card.cite:
            assert markdown.escaped(page.printable(rule.card.sources[key])) in text, rule.id
        assert "## Examples" in text, rule.id
        assert re.search(r"\*\*Found:\*\* [■○\u2013] (halt|query|tidy)", text), f"{rule.id}: no example in which it speaks"


def test_an_instrument_page_says_all_that_about_says() -> None:
    """Line for line, but for the list of rules, which is told plugin by plugin, and what its family's page says."""
    for id, entry in registry().names.entries.items():
        lines = about.instrument_page(registry().profile(id), entry, registry(), markdown.ENDLESS)
        shown = markdown.document(lines, frozenset({"Rules that check it"})).splitlines()
        family = registry().offers[id].table().get("extends")
        there = set(pages()[f"instruments/{id}.md"].splitlines())
        there |= set(pages()[f"families/{family}.md"].splitlines()) if family else set()
        assert [line for line in shown if line not in there] == [], id
        assert "## Rules that check it" in there


def test_the_markdown_of_a_page_shows_every_sign_of_it() -> None:
    """CommonMark 0.31, backslash escapes: a sign with a backslash before it stands for itself."""
    text = "a *b* _c_ d_e `f` <g> h|i ~j~ [k](l) &amp; m\\n"
    assert re.sub(r"\\(.)", r"\1", markdown.escaped(text)) == text
    assert markdown.escaped("d_e and [S1; memory]") == "d_e and [S1; memory]"


def test_a_rule_is_linked_where_it_is_named_and_nowhere_else() -> None:
    targets = {"compass.below": "compass.below.md"}
    assert markdown.linked("see compass.below, and compass.below.", targets).count("](compass.below.md)") == 2
    for text in (
        '[settings."compass.below"]',
        "compass.belowish",
        "my.compass.below",
        "compass.below.md",
        "[compass.below](x)",
    ):
        kept = markdown.linked(text, targets)
        assert kept == text


def test_equal_rules_give_equal_bytes_and_few() -> None:
    assert reference.pages(discover(), worked()) == pages()
    some = [rule for rule in registry().rules if rule.id.startswith("compass.")]
    again = examples(replace(discover(), rules=tuple(some)))
    assert again == {rule.id: worked()[rule.id] for rule in some}
    assert sum(len(text.encode()) for text in pages().values()) <= MOST


def test_a_source_stands_above_its_case() -> None:
    text = '# head\n\n# Said by A,\n# and B.\n[[pass]]\nname = "one"\n# not this\n\n[[fail]]\nname = "two"\n# C\n[[fail]]\nname = "three"\n'
    assert remarks(text) == {"one": "Said by A, and B.", "three": "C"}
