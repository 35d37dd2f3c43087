"""Published music as it is: what a harp part of music21's corpus gives, and tonal chords and lines put before the harps.

music21's corpus holds one part for harp. To see more music, its chorales and keyboard pieces are read as if they were harp parts:
not harp writing, but four parts of common-practice harmony have a pedal setting for every chord, or the setting rule is at fault.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from tests.corpus_files import music21_files
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Grade, Report
from xmlcheck.registry import Registry, discover
from xmlcheck.source import read_source

OWN = ("tuning.", "retuning.", "pressing.", "glissando.", "picks.", "hammers.", "ringing.", "pedals.", "levers.")


@cache
def installed() -> Registry:
    return discover()


def report(path: Path, **given: str) -> Report:
    return check_source(read_source(path), installed(), Config(), given=given)


def halts(found: Report) -> list[tuple[str, str | None, str | None, str]]:
    return [
        (item.rule, item.part, item.place.bar, item.message)
        for item in found.findings
        if item.grade is Grade.HALT and item.rule.startswith(OWN)
    ]


def test_the_harp_part_of_the_corpus_raises_no_halt() -> None:
    (path,) = [path for path in music21_files() if path.name == "41c-StaffGroups.xml"]
    found = report(path)
    assert [part.instrument for part in found.parts if part.name == "Harp"] == ["harp-pedal"]
    assert halts(found) == []


@pytest.mark.long
def test_chorales_on_the_pedal_harp() -> None:
    """Bach: no chord without a setting, nothing out of reach of the pedals; the parts are one line each, so nothing is too much."""
    for path in [path for path in music21_files() if "bach" in path.parts][:60]:
        first = report(path)
        found = report(path, **{part.id: "harp-pedal" for part in first.parts})
        assert halts(found) == [], path.name
