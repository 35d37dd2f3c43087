"""What a report says was not checked: gaps in a profile, not rules about other kinds of instruments."""

from __future__ import annotations

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.registry import discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import score

KINDS = ("bow", "bowing", "drones", "sizes", "plucking", "levers", "pressing", "retuning", "picks", "string_set", "strings")


def wanting(instrument: str) -> set[str]:
    report = check_source(from_bytes(score("C4.w"), "test"), discover(), Config(), given={"P1": instrument})
    return {line.partition(" (no ")[2].rstrip(")") for line in report.parts[0].unchecked if " (no " in line}


@pytest.mark.parametrize("instrument", ["oud", "shakuhachi", "clarinet-b-flat", "koto", "lever-harp", "violin", "harp-pedal"])
def test_a_kind_that_the_instrument_is_not_is_no_gap(instrument: str) -> None:
    """An oud has no bow, a clarinet no drones (common knowledge, no source): nothing is wanting."""
    assert wanting(instrument).isdisjoint(KINDS)


def test_a_value_that_the_profile_lacks_is_told() -> None:
    """The sheng is blown, and its profile says nothing of breath."""
    assert "breath" in wanting("sheng-17")
