"""Runs the planted parts of tests/planted/winds: every part is a score of its own, checked with all installed plugins."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Finding, Report
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini
from xmlcheck.testing.cases import Case

PLANTED = Path(__file__).parents[1] / "planted" / "winds" / "planted.toml"


@dataclass(frozen=True)
class Planted:
    """One part: its number in the file, name, faults, and what the check says."""

    number: int
    name: str
    faults: tuple[Mapping[str, Any], ...]
    report: Report

    def found(self, fault: Mapping[str, Any]) -> Finding | None:
        """The finding that a fault calls for."""
        return next((item for item in self.report.findings if item.rule == fault["rule"] and covers(item, fault["bar"])), None)

    def stray(self) -> list[Finding]:
        """Findings that no fault calls for."""
        called = {id(item) for fault in self.faults if (item := self.found(fault)) is not None}
        return [item for item in self.report.findings if id(item) not in called]


def covers(finding: Finding, bar: int) -> bool:
    """Whether a finding stands in a bar (from 1); bar 0 is the whole part."""
    first = finding.place.measure_index
    if bar == 0 or first is None:
        return bar == 0
    last = finding.place.to_measure_index
    return first <= bar - 1 <= (last if last is not None else first)


@cache
def registry() -> Registry:
    return discover()


@cache
def planted() -> tuple[Planted, ...]:
    """All planted parts, checked."""
    table = tomllib.loads(PLANTED.read_text(encoding="utf-8"))
    return tuple(_checked(number, part) for number, part in enumerate(table["part"], 1))


def _checked(number: int, part: Mapping[str, Any]) -> Planted:
    profile = part["profile"]
    case = Case("planted", "compass.below", PLANTED, (), profile=profile)
    data = mini.score([mini.Part(part["notes"], part["name"])])
    given = {"P1": profile if isinstance(profile, str) else profile["id"]}
    report = check_source(from_bytes(data, f"planted-{number}"), case.registry(registry()), Config(), given=given)
    return Planted(number, part["name"], tuple(part["faults"]), report)
