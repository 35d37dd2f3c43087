"""Open strings of the profiles against those of the general-purpose library mingus (B. Spaans; a test-only package).

Where the two differ the reason stands beside it. Profiles of instruments that are not installed are left out.
"""

from __future__ import annotations

import pytest

from xmlcheck.pitch import parse
from xmlcheck.registry import discover
from xmlcheck_strings.facets import Strings

tunings = pytest.importorskip("mingus.extra.tunings")

USUAL = [
    ("violin", "Violin", "Standard"),
    ("viola", "Viola", "Standard"),
    ("cello", "Cello", "Standard"),
    ("double-bass", "Double bass", "Orchestral"),
    ("guitar-classical", "Guitar", "Standard"),
    ("mandolin", "Mandolin", "Standard"),
    ("ukulele", "Ukulele", "Standard C6 tuning for soprano"),
    ("banjo-tenor", "Banjo (tenor)", "Standard"),
    ("bouzouki-irish", "Irish bouzouki", "Irish tuning (unison pairs)"),
]
LISTED = [
    ("guitar-classical", "Guitar", "Drop D"),
    ("bouzouki-irish", "Irish bouzouki", "Modal D tuning (unison pairs)"),
    ("bouzouki-irish", "Irish bouzouki", '"Mandolin" tuning (unison pairs)'),
]
"""Tunings of the library that the profile lists beside its usual one."""


def lowest(course: object) -> str:
    """The first string of a course, as `E4`; the library writes `E-4`, and octave courses as lists."""
    name = course[0] if isinstance(course, list) else course
    return str(name).strip("'").replace("-", "")


def library(instrument: str, description: str) -> list[str]:
    found = next(
        item
        for item in tunings.get_tunings(instrument)
        if item.instrument == instrument and item.description.startswith(description)
    )
    return [lowest(course) for course in found.tuning]


@pytest.mark.parametrize(("profile", "instrument", "description"), USUAL, ids=[item[0] for item in USUAL])
def test_usual_tuning(profile: str, instrument: str, description: str) -> None:
    registry = discover()
    if profile not in registry.offers:
        pytest.skip("no such profile is installed")
    strings = registry.profile(profile).get(Strings)
    if strings is None:
        pytest.skip("the profile states no strings")
    assert [course.pitch for course in strings.courses] == [parse(name) for name in library(instrument, description)]


@pytest.mark.parametrize(("profile", "instrument", "description"), LISTED)
def test_listed_tuning(profile: str, instrument: str, description: str) -> None:
    registry = discover()
    strings = registry.profile(profile).get(Strings) if profile in registry.offers else None
    if strings is None:
        pytest.skip("no such profile is installed, or it states no strings")
    wanted = [parse(name) for name in library(instrument, description)]
    assert wanted in [list(tuning.pitches) for tuning in strings.tunings]


def test_the_charango_differs() -> None:
    """The library has the second course at C4; the five courses of a charango lie within one octave, E4 to E5, so it is C5."""
    registry = discover()
    strings = registry.profile("charango").get(Strings) if "charango" in registry.offers else None
    if strings is None:
        pytest.skip("no such profile is installed, or it states no strings")
    ours = [course.pitch.name for course in strings.courses]
    theirs = library("Charango", "Standard")
    assert [name for name, other in zip(ours, theirs, strict=True) if name[0] != other[0]] == []
    assert (ours[1], theirs[1]) == ("C5", "C4")
