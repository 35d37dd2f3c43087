"""What every built-in rule must keep: a card, one function, cases; words of the trade; a halt that says what it rests on.

Checked against: schemas/rule-1 and cases-1 (our own published formats, JSON Schema draft 2020-12), the words and grades that the
project has set itself, and the rule's own cases run through the whole chain.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from xmlcheck import schemas
from xmlcheck.finding import Finding, Grade
from xmlcheck.folder import INDEX, make_index
from xmlcheck.registry import Registry, discover
from xmlcheck.rule import Card, Need, read_card
from xmlcheck.testing.cases import load
from xmlcheck.testing.trial import report_of

PLUGINS = sorted(path.parent for path in (Path(__file__).parents[2] / "plugins").glob("*/plugin.toml"))
RULES = sorted(path for plugin in PLUGINS for path in plugin.glob("rules/*") if path.is_dir() and path.name[0] not in "_.")
JUDGING = re.compile(r"\b(should|easy|easily|easier|wrong|wrongly)\b", re.IGNORECASE)
DRASTIC = re.compile(
    r"\b(omissions?|omit\w*|leave (?:the |these |those |some )?notes? out|(?:an)?other octave|an octave (?:higher|lower|up|down))\b",
    re.I,
)
LAST = "which changes the approved music"
MOST_WORDS = 5

every_rule = pytest.mark.parametrize("folder", RULES, ids=lambda path: f"{path.parents[1].name}/{path.name}")
every_plugin = pytest.mark.parametrize("plugin", PLUGINS, ids=lambda path: path.name)


@cache
def installed() -> Registry:
    return discover()


def table(folder: Path) -> dict[str, Any]:
    return tomllib.loads((folder / "rule.toml").read_text(encoding="utf-8"))


def card(folder: Path) -> Card:
    return read_card((folder / "rule.toml").read_text(encoding="utf-8"), folder.parents[1].name, f"{folder.name}/rule.toml")


def texts(one: Card) -> dict[str, str]:
    plain = {key: getattr(one, key) for key in ("title", "label", "message", "why", "remedy", "caution")}
    return plain | {f"alternatives[{n}]": text for n, text in enumerate(one.alternatives)}


@cache
def shown(folder: Path) -> tuple[Finding, ...]:
    """The findings of the rule in its own fail cases."""
    found: list[Finding] = []
    for case in load(folder / "cases.toml"):
        if case.expect is not None:
            report = report_of(case, case.registry(installed()), case.data())
            found += [finding for finding in report.findings if finding.rule == case.rule]
    return tuple(found)


def asks_facets(needs: Iterable[Need], registry: Registry) -> bool:
    """Whether a rule asks for a facet, itself or through a derived value."""
    kinds = set(registry.facets.values())
    return any(
        need.kind in kinds or (need.kind in registry.derived and asks_facets(registry.derived[need.kind].needs, registry))
        for need in needs
        if not need.setting
    )


def test_there_are_rules() -> None:
    assert RULES
    assert {rule.id for rule in installed().rules} >= {table(folder)["id"] for folder in RULES}


@every_rule
def test_card_is_valid(folder: Path) -> None:
    assert schemas.validate("rule-1", table(folder)) == []
    one = card(folder)
    assert re.sub(r"[.-]", "_", one.id) == folder.name
    assert set(one.cite) <= set(one.sources), "a card cites only what it lists"
    unknown = [id for id in one.explains if installed().rule(id) is None]
    assert unknown == [], "explains rules that no plugin brings"


@every_rule
def test_function_is_documented(folder: Path) -> None:
    rule = installed().rule(card(folder).id)
    assert rule is not None
    assert rule.check.__doc__, "says what one hit is"


@every_rule
def test_has_cases(folder: Path) -> None:
    cases = load(folder / "cases.toml")
    assert {case.rule for case in cases} == {card(folder).id}
    passing = [case for case in cases if case.expect is None and case.asked]
    failing = [case for case in cases if case.expect is not None]
    assert passing, "at least one pass case in which the rule is asked"
    assert len(failing) >= 2, "at least two fail cases"


@every_rule
def test_a_halt_says_what_it_rests_on(folder: Path) -> None:
    """A rule that asks for no facet rests on the file's own notation alone; every other halt names the profile values."""
    one = card(folder)
    if one.grade is not Grade.HALT:
        return
    halts = [finding for finding in shown(folder) if finding.grade is Grade.HALT]
    assert halts, f"{one.id} may halt, and no case shows it"
    rule = installed().rule(one.id)
    assert rule is not None
    if asks_facets(rule.needs, installed()):
        assert [finding.message for finding in halts if not finding.rests_on] == []


@every_rule
def test_label_is_short(folder: Path) -> None:
    labels = {finding.label for finding in shown(folder)} | {re.sub(r"\{[^}]*\}|\[\[|\]\]", "x", card(folder).label)}
    assert [label for label in labels if len(label.split()) > MOST_WORDS] == []


@every_rule
def test_words_judge_nobody(folder: Path) -> None:
    assert {key: text for key, text in texts(card(folder)).items() if JUDGING.search(text)} == {}


@every_rule
def test_octave_and_omission_come_last(folder: Path) -> None:
    """Remedies: the player first, their own means next; what changes the approved music stands last and says so."""
    one = card(folder)
    sentences = re.split(r"(?<=[.;!?])\s+", one.remedy)
    drastic = [bool(DRASTIC.search(sentence)) for sentence in sentences]
    if any(drastic):
        assert drastic == sorted(drastic), "octave or omission before another remedy"
        assert LAST in sentences[-1]
    ranked = [bool(DRASTIC.search(text)) for text in one.alternatives]
    assert ranked == sorted(ranked)


@every_rule
def test_findings_are_filled_in(folder: Path) -> None:
    """No field, bracket or missing value is left in what people read (a sentence may begin with "None")."""
    for finding in shown(folder):
        for text in (finding.label, finding.message, finding.why, finding.remedy, *finding.alternatives):
            assert not re.search(r"[{}]|\[\[|\]\]|(?<![.!?] )(?<!\A)\bNone\b", text), text
            assert text.strip() == text
            assert "  " not in text


@every_plugin
def test_index_is_fresh(plugin: Path) -> None:
    stored = plugin / INDEX
    assert stored.is_file(), "make it with: xmlcheck plugins index plugins/*"
    assert json.loads(stored.read_text(encoding="utf-8")) == make_index(plugin, plugin.name, plugin.name)
