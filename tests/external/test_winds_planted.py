"""The faults planted in tests/planted/winds: all are found, nothing else is, and no finding weighs more than its source bears.

The faults were written from the sources named beside each, before the rules. `compass.uncomfortable` is left aside: it speaks of
notes that are playable, which the planted parts use freely at the ends of their registers.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from tests.external.winds_planted import Planted, planted
from xmlcheck.finding import Grade

PARTS = planted()
FAULTS = [(part, fault) for part in PARTS for fault in part.faults]
ASIDE = {"compass.uncomfortable"}

every_part = pytest.mark.parametrize("part", PARTS, ids=lambda part: f"{part.number}-{part.name}")


def test_there_are_enough() -> None:
    assert len(FAULTS) >= 40
    assert sum(not part.faults for part in PARTS) >= 10, "parts without any fault"
    assert len({fault["rule"] for _, fault in FAULTS}) >= 20


@pytest.mark.parametrize(("part", "fault"), FAULTS, ids=lambda item: item["rule"] if isinstance(item, dict) else item.name)
def test_every_fault_is_found(part: Planted, fault: Mapping[str, Any]) -> None:
    finding = part.found(fault)
    assert finding is not None, f"{part.name}, bar {fault['bar']}: {fault['says']}"
    if "at_most" in fault:
        assert finding.grade.rank <= Grade(fault["at_most"]).rank, finding.message


@every_part
def test_nothing_else_is(part: Planted) -> None:
    assert [f"{item.rule} bar {item.place.bar}: {item.message}" for item in part.stray() if item.rule not in ASIDE] == []


@every_part
def test_no_rule_failed(part: Planted) -> None:
    assert [notice for notice in part.report.notices if "failed on" in notice or "could not be told" in notice] == []
