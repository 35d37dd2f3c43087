"""A score with something to find, rules of a plugin that there is not, and what must be in a report when one misbehaves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

from tests.hostile.row import bar, score
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Grade, Report
from xmlcheck.registry import Registry, discover
from xmlcheck.rule import Card, Rule, needs
from xmlcheck.source import from_bytes

LISTED = '<score-part id="P1"><part-name>Violin</part-name></score-part><score-part id="P2"><part-name>Viola</part-name></score-part>'
SCORE = score(listed=LISTED, bars=bar().replace("<octave>4", "<octave>1") + f'</part><part id="P2">{bar(number=1)}')
Odd = Callable[..., Any]


@lru_cache(maxsize=1)
def installed() -> Registry:
    """The rules of one plugin: enough to find something, and quick."""
    registry = discover()
    return replace(registry, rules=tuple(rule for rule in registry.rules if rule.card.plugin == "xmlcheck_basics"))


def odd_rule(function: Odd, phase: str = "check") -> Rule:
    card = Card("house.odd", "Odd", Grade.HALT, "odd", "Odd.", "For tests.", "None.", phase=phase, plugin="house")
    return Rule(card, function, needs(function))


def checked(*rules: Rule, config: Config | None = None, registry: Registry | None = None) -> Report:
    registry = registry or installed()
    both = replace(registry, rules=(*rules, *registry.rules))
    return check_source(from_bytes(SCORE, "cue.musicxml"), both, config or Config())


@lru_cache(maxsize=1)
def usual() -> Report:
    report = checked()
    assert any(finding.rule == "compass.below" for finding in report.findings), "there is something to find"
    return report


def blamed(report: Report) -> str:
    """What the report says over the usual one, which must be blame; all else is as usual."""
    assert (report.findings, report.plans, report.parts) == (usual().findings, usual().plans, usual().parts)
    more = [notice for notice in report.notices if notice not in usual().notices]
    assert more
    assert all(notice.startswith("Rule house.odd of house ") for notice in more), more
    assert all(notice.isprintable() for notice in more)
    return " ".join(more)
