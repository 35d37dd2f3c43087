"""Sibling advice on findings about the compass: who would hold the part, and at what cost."""

from __future__ import annotations

from functools import cache

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Finding
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini


@cache
def installed() -> Registry:
    return discover()


def findings(profile: str, notes: str) -> list[Finding]:
    source = from_bytes(mini.score(mini.Part(notes)), "part.musicxml")
    report = check_source(source, installed(), Config(), given={"P1": profile})
    return [finding for finding in report.findings if finding.rule in ("compass.above", "compass.below")]


@pytest.mark.parametrize(
    ("profile", "notes", "first"),
    [
        # Strings G3 and C3, C2 (any handbook of strings): a violin part down to E3 is a viola's, one down to A2 a cello's.
        ("violin", "E3.q G3 A3 C4", "viola (C3 to "),
        ("violin", "A2.q G3 A3 C4", "cello (C2 to "),
        # TR Percussion: marimba up to C7, xylophone up to C8.
        ("marimba", "C8.q C5 C5 C5", "xylophone (C4 to C8) holds all of it"),
    ],
)
def test_the_nearest_member_that_holds_all_comes_first(profile: str, notes: str, first: str) -> None:
    (finding,) = findings(profile, notes)
    assert finding.alternatives[0].startswith(first), finding.alternatives
    assert "holds all of it" in finding.alternatives[0]


def test_an_octave_comes_last_and_says_its_cost() -> None:
    """TR Percussion: marimba C2 to C7. B1 is below it; an octave higher all of these notes are inside."""
    (finding,) = findings("marimba", "B1.q C2 C3 C6")
    assert finding.alternatives[-1] == "an octave higher: all of it fits, which changes the approved music"


def test_what_does_not_fit_is_counted() -> None:
    """The same: of B1, B1, C3, C7 an octave higher leaves C8 alone outside; no other mallet instrument goes as low."""
    (finding,) = findings("marimba", "B1.q B1 C3 C7")
    assert finding.alternatives == ("an octave higher: all but 1 note fit, which changes the approved music",)


def test_two_of_a_family_share_what_one_does_not_hold() -> None:
    """Choir voices: alto to about F5, tenor from C3 (any handbook of choral writing)."""
    found = findings("voice-alto", "A2.q E4 G4 A4 | D5.q D5 C5 B4 | F5.q F5 E5 D5")
    assert found
    assert any("between them" in text or "holds all of it" in text for text in found[0].alternatives), found[0].alternatives


def test_a_part_inside_the_compass_gets_none() -> None:
    assert findings("violin", "G3.q A3 C4 E5") == []
