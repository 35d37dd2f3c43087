"""Every profile at work: bars that it plays without a halt, and bars in which its own values find something; and its page.

The bars are made from the profile's own ends, so they show that its values reach the rules; whether the values are right is
checked against sources in tests/external.
"""

from __future__ import annotations

from functools import cache

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.facets import Compass, Reading, Techniques
from xmlcheck.finding import Finding, Grade
from xmlcheck.output import about, page
from xmlcheck.pitch import Pitch
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini


@cache
def registry() -> Registry:
    return discover()


every_profile = pytest.mark.parametrize("id", sorted(registry().names.entries))


@cache
def profile(id: str) -> Profile:
    return registry().profile(id)


def findings(id: str, notes: str) -> tuple[Finding, ...]:
    source = from_bytes(mini.score(mini.Part(notes)), "part.musicxml")
    return check_source(source, registry(), Config(), given={"P1": id}).findings


def written(id: str, sounding: Pitch) -> tuple[str, str]:
    """The note as the usual reading writes it, and the transposition that says so."""
    reading = profile(id).get(Reading)
    assert reading is not None
    usual = next(item for item in reading.conventions if item.usual)
    if not usual.semitones:
        return sounding.name, ""
    transposed = sounding.moved(-usual.chromatic, -usual.diatonic, -usual.octave)
    return transposed.name, f"transpose={usual.chromatic.normalize():f}/{usual.diatonic}/{usual.octave} "


@every_profile
def test_a_slow_comfortable_note_stops_no_take(id: str) -> None:
    compass = profile(id).get(Compass)
    if compass is None:
        notes = "clef=percussion tempo=60 <mf> XB4.q r XB4 r | XB4.h r"
    else:
        name, transposition = written(id, (compass.comfortable_lowest or compass.lowest).value)
        notes = f"{transposition}tempo=60 <mf> {name}.q r {name} r | {name}.h r"
    halts = [finding.message for finding in findings(id, notes) if finding.grade is Grade.HALT]
    assert halts == []


@every_profile
def test_its_own_values_find_something(id: str) -> None:
    compass = profile(id).get(Compass)
    if compass is not None:
        name, transposition = written(id, compass.lowest.value.moved(0, 0, -2))
        found = findings(id, f"{transposition}tempo=60 <mf> {name}.q r {name} r | {name}.h r")
        assert any("compass." in rule for finding in found for rule in (finding.rule, *finding.also)), [f.rule for f in found]
    techniques = profile(id).get(Techniques)
    assert techniques is not None
    foreign = next((item for item in techniques.foreign if item.words), None)
    if foreign is not None:
        found = findings(id, f'tempo=60 "{foreign.words[0]}" B4.w | B4.w')
        assert any(finding.rule == "technique.foreign" for finding in found)
    assert compass is not None or foreign is not None


@every_profile
def test_it_has_a_page_that_says_who_says_so_and_what_is_not_checked(id: str) -> None:
    entry = registry().names.entries[id]
    text = page.plain(about.instrument_page(profile(id), entry, registry(), page.Sheet()))
    for heading in ("Techniques", "Rules that check it", "What is not checked", "Sources"):
        assert f"  {heading}\n" in text
    for key in profile(id).sources:
        assert f"    {key}: " in text or f"\n    {key}:" in text
    if profile(id).cautions:
        assert "  Cautions\n" in text
    compass = profile(id).get(Compass)
    if compass is not None:
        assert compass.lowest.value.name in text
        assert "  Keys " in text
