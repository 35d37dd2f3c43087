"""The compass of every orchestral profile against two tables from outside, each difference told in the profile itself.

1. music21 10.5.1, module instrument (a general-purpose library): lowest and, where it has one, highest note, written pitch for
   some classes and sounding pitch for others.
2. Abjad, source/abjad/instruments.py, 2025 (an open-source library's published list of sounding ranges); for tuned percussion
   TR Percussion, Pitch ranges of tuned percussion instruments and their notation, trpercussion.com (a hire firm's list).

An end that is not the table's has a note in the profile, or stands below with its reason.
"""

from __future__ import annotations

from functools import cache

import pytest

from xmlcheck.facets import Compass, Reading
from xmlcheck.pitch import parse
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry, discover

music21 = pytest.importorskip("music21")

PUBLISHED = {  # sounding, lowest and highest
    "alto-flute": ("G3", "G6"),
    "bassoon": ("Bb1", "Eb5"),
    "celesta": ("C4", "C8"),  # Hansen, hansenmedia.net, definite pitch instruments: four octaves, an octave above the writing
    "cello": ("C2", "G5"),
    "clarinet-a": ("Db3", "A6"),
    "clarinet-b-flat": ("D3", "Bb6"),
    "clarinet-bass": ("Bb1", "G5"),
    "clarinet-e-flat": ("F3", "C7"),
    "contrabassoon": ("Bb0", "Bb4"),
    "cor-anglais": ("E3", "C6"),
    "crotales": ("C6", "F8"),
    "double-bass": ("C1", "G4"),
    "flute": ("C4", "D7"),
    "glockenspiel": ("C5", "F8"),
    "guitar-classical": ("E2", "E5"),
    "harp-pedal": ("B0", "G#7"),
    "horn": ("B1", "F5"),
    "marimba": ("C2", "C7"),
    "oboe": ("Bb3", "A6"),
    "piano": ("A0", "C8"),
    "piccolo": ("D5", "C8"),
    "sax-alto": ("Db3", "A5"),
    "sax-baritone": ("C2", "Ab4"),
    "sax-soprano": ("Ab3", "E6"),
    "sax-tenor": ("Ab2", "E5"),
    "timpani": ("C2", "C4"),
    "trombone-bass": ("C2", "F4"),
    "trombone-tenor": ("E2", "Eb5"),
    "trumpet-b-flat": ("E3", "D6"),
    "trumpet-c": ("F#3", "D6"),
    "tuba": ("D1", "F4"),
    "tubular-bells": ("C4", "G5"),  # D. Darling, encyclopaedia of music, daviddarling.info
    "vibraphone": ("C3", "C7"),
    "viola": ("C3", "D6"),
    "violin": ("G3", "G7"),
    "voice-alto": ("F3", "G5"),
    "voice-baritone": ("A2", "A4"),
    "voice-bass": ("E2", "F4"),
    "voice-mezzo": ("A3", "C6"),
    "voice-soprano": ("C4", "E6"),
    "voice-tenor": ("C3", "D5"),
    "xylophone": ("C4", "C8"),
}
CLASSES = {  # music21's classes; WRITTEN where the lowest note is a written one
    "bassoon": "Bassoon",
    "cello": "Violoncello",
    "clarinet-b-flat": "Clarinet",
    "clarinet-bass": "BassClarinet",
    "contrabassoon": "Contrabassoon",
    "cor-anglais": "EnglishHorn",
    "double-bass": "Contrabass",
    "flute": "Flute",
    "guitar-classical": "AcousticGuitar",
    "harp-pedal": "Harp",
    "horn": "Horn",
    "oboe": "Oboe",
    "piano": "Piano",
    "piccolo": "Piccolo",
    "sax-alto": "AltoSaxophone",
    "sax-baritone": "BaritoneSaxophone",
    "sax-soprano": "SopranoSaxophone",
    "sax-tenor": "TenorSaxophone",
    "trombone-bass": "BassTrombone",
    "trombone-tenor": "Trombone",
    "trumpet-b-flat": "Trumpet",
    "tuba": "Tuba",
    "viola": "Viola",
    "violin": "Violin",
}
SOUNDING = {"guitar-classical"}
"""Classes that transpose in the library's reading and give the sounding note all the same."""
NO_PITCH = {"drum-kit", "percussion"}
NO_TABLE = {"lute"}
"""Neither table has the instrument: other checks of the profile's values hold for it."""
REASONS = {  # (profile, end): why ours is another note; what is not here is told in the profile's own note
    ("clarinet-a", "lowest"): "the same key: C#3 is Db3",
    (
        "clarinet-e-flat",
        "lowest",
    ): "the table adds the transposition to a written D; the instrument's lowest written note is E, sounding G3",
}


@cache
def registry() -> Registry:
    return discover()


@cache
def orchestral() -> dict[str, Profile]:
    found = {
        id: registry().profile(id) for id, entry in registry().names.entries.items() if entry.plugin == "xmlcheck_orchestra"
    }
    return {id: profile for id, profile in found.items() if profile.get(Compass) is not None}


def ends(id: str) -> Compass:
    value = orchestral()[id].get(Compass)
    assert value is not None
    return value


def test_every_orchestral_profile_is_compared() -> None:
    assert set(orchestral()) - NO_TABLE == set(PUBLISHED)
    for id in NO_PITCH:
        assert registry().profile(id).get(Compass) is None


@pytest.mark.parametrize("id", sorted(PUBLISHED))
def test_the_published_range_is_ours_or_the_profile_says_why_not(id: str) -> None:
    low, high = map(parse, PUBLISHED[id])
    compass = ends(id)
    for end, value, theirs in (("lowest", compass.lowest, low), ("highest", compass.highest, high)):
        same = value.value.cents == theirs.cents
        assert same or value.note or (id, end) in REASONS, f"{end}: {value.value} here, {theirs} there, and no note"
    if (id, "lowest") not in REASONS:
        assert compass.lowest.value.cents <= low.cents, "the table goes lower than what we call the lowest note"
    assert compass.highest.value.cents >= high.cents, "the table goes higher than what we call the highest note"


@pytest.mark.parametrize("id", sorted(CLASSES))
def test_the_librarys_lowest_note_is_ours_or_the_profile_says_why_not(id: str) -> None:
    theirs = getattr(music21.instrument, CLASSES[id])()
    reading = orchestral()[id].get(Reading)
    assert theirs.lowestNote is not None
    assert reading is not None
    shift = 0 if id in SOUNDING or theirs.transposition is None else theirs.transposition.semitones
    height = 100 * round(theirs.lowestNote.midi + shift)
    compass = ends(id)
    same = height in (compass.lowest.value.cents, compass.comfortable_lowest.value.cents if compass.comfortable_lowest else 0)
    assert same or compass.lowest.note, f"{compass.lowest.value} here, {theirs.lowestNote} ({height} cents) there, and no note"


def test_reasons_are_needed() -> None:
    """A reason whose difference is gone is struck from the list."""
    for id, end in REASONS:
        ours = ends(id).lowest.value if end == "lowest" else ends(id).highest.value
        assert ours.name != PUBLISHED[id][end == "highest"]
