"""Harps against published settings and limits: which keys a lever harp has, how enharmonic notes share out the strings."""

from __future__ import annotations

from functools import cache

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Report
from xmlcheck.pitch import parse
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import mini
from xmlcheck_zither.facets import Levers, StringSet
from xmlcheck_zither.harps import board_of
from xmlcheck_zither.planning.levers import Wanted
from xmlcheck_zither.planning.pedals import LETTERS, Spelled, options, pedalled
from xmlcheck_zither.plans import pedal_text

MAJOR = {
    "Cb": "Cb Db Eb Fb Gb Ab Bb", "Gb": "Gb Ab Bb Cb Db Eb F", "Db": "Db Eb F Gb Ab Bb C", "Ab": "Ab Bb C Db Eb F G",
    "Eb": "Eb F G Ab Bb C D", "Bb": "Bb C D Eb F G A", "F": "F G A Bb C D E", "C": "C D E F G A B", "G": "G A B C D E F#",
    "D": "D E F# G A B C#", "A": "A B C# D E F# G#", "E": "E F# G# A B C# D#", "B": "B C# D# E F# G# A#",
    "F#": "F# G# A# B C# D# E#", "C#": "C# D# E# F# G# A# B#",
}  # fmt: skip


@cache
def installed() -> Registry:
    return discover()


def checked(notes: str, heading: str) -> Report:
    return check_source(from_bytes(mini.score([mini.Part(notes, heading)]), "test.musicxml"), installed(), Config())


def note(name: str) -> Spelled:
    return Spelled(name[0], name.count("#") - name[1:].count("b"))


@pytest.mark.parametrize("key", MAJOR)
def test_lever_harp_in_e_flat_has_eight_keys(key: str) -> None:
    """Tumbling Owl, The modal structure of the lever harp, 2014: from E flat with all levers down A flat, D flat, F sharp and B
    major are out of reach; the eight from E flat to E are there. Each letter has to be found on its own string."""
    profile = installed().profile("lever-harp")
    strings, levers = profile.facets["string_set"], profile.facets["levers"]
    assert isinstance(strings, StringSet)
    assert isinstance(levers, Levers)
    board = board_of(strings.usual, levers)
    own = []
    for name in MAJOR[key].split():
        pitch = parse(f"{name}4")
        places = board.places(Wanted(pitch.cents, pitch.step, pitch.octave))
        own.append(any((board.rows[s].letter, board.rows[s].octave) == (pitch.step, pitch.octave) for s, _ in places))
    assert all(own) == (key in {"Eb", "Bb", "F", "C", "G", "D", "A", "E"})


@pytest.mark.parametrize("key", MAJOR)
def test_every_key_has_a_pedal_setting(key: str) -> None:
    """The pedal harp is tuned in C flat and each pedal raises its letter by one or two semitones (Rob Hoadley, Instrumentation:
    harp; Volpé Bligh): all fifteen major keys, as written."""
    way = pedalled([(note(name),) for name in MAJOR[key].split()])
    text = pedal_text(way.opening, "DCB", "EFGA")
    assert sorted(text.replace(" | ", " ").split()) == sorted(MAJOR[key].split())
    assert way.changes == 0


@pytest.mark.parametrize(
    ("chord", "setting"),
    [
        ("C C# D", {"B": 1, "C": 1, "D": 0}),  # as B sharp, C sharp, D
        ("F F#", {"E": 1, "F": 1}),  # as E sharp, F sharp; or as F, G flat
        ("F F#", {"F": 0, "G": -1}),
    ],
)
def test_enharmonic_chords(chord: str, setting: dict[str, int]) -> None:
    """Canton and Overlach, Pedals, composingforharp.com."""
    ways = [
        {LETTERS[item]: position for item, position in option.needed} for option in options([note(n) for n in chord.split()])
    ]
    assert setting in ways


@pytest.mark.parametrize("setting", ["C D E# F G A B#", "C D E Fb G A B#", "C D E Fb G A Cb"])
def test_pentatonic_glissando_settings(setting: str) -> None:
    """Harpists' settings for a pentatonic sweep (music.stackexchange.com 141075): seven strings, five pitches.

    The last needs C twice, natural and flat: it is not a setting, and the planner says so.
    """
    found = options([Spelled(item.letter, item.alter, respell=False) for item in map(note, setting.split())])
    assert bool(found) == (setting != "C D E Fb G A Cb")
    if found:
        classes = {note(name).pitch_class for name in setting.split()}
        assert len(classes) == 5


def test_a_written_setting_is_the_plan() -> None:
    found = checked("tempo=60 <mf> C4.e D4 E4 Fb4 G4 A4 B#4 C5 | C5.w", "Harp")
    assert found.plans[0].lines[0].text == "Pedals: D C B# | E Fb G A"


def test_five_pedals_for_a_chromatic_octave() -> None:
    """music.stackexchange.com 130146: a chromatic sweep is not viable, strings have to be altered on the way; twelve names on
    seven letters leave five changes."""
    names = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]
    assert pedalled([(note(name),) for name in names]).changes == 5


def test_fast_chromatic_runs_are_asked_about_and_stop_nothing() -> None:
    found = checked("tempo=120 <f> C4.s C#4 D4 D#4 E4 F4 F#4 G4 G#4 A4 A#4 B4 C5.q | C5.w", "Harp")
    rules = {(finding.rule, finding.grade.value) for finding in found.findings if finding.rule.startswith("pedals.")}
    assert ("pedals.too-fast", "query") in rules or ("pedals.one-foot", "query") in rules
    assert not [finding for finding in found.findings if finding.grade.value == "halt"]


def test_two_pedals_a_second_are_documented() -> None:
    pedals = installed().profile("harp-pedal").facets["harp_pedals"]
    assert (pedals.one_foot.value, pedals.one_foot.certainty.value) == (2, "documented")
    assert (pedals.both_feet.value, pedals.both_feet.certainty.value) == (4, "documented")
