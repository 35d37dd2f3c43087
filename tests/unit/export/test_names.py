"""Names of tracks: what they tell, and what they do not.

The names are common in mock-ups; no source. No product is named.
"""

from __future__ import annotations

import pytest

from xmlcheck_export.names import generic, not_played, split, technique_of


@pytest.mark.parametrize(
    "name",
    ["", "Track 7", "MIDI 03", "Audio Track 12", "Inst 1", "Part_2", "Staff", "MusicXML Part", "Channel #4", "midi 1 copy"],
)
def test_names_that_tell_nothing(name: str) -> None:
    assert generic(name)


@pytest.mark.parametrize(
    "name", ["Violin", "Erhu", "Lamp Keeper", "Tracker Horn", "Partial", "Tenor", "Sea Organ 2", "Instrumental Choir"]
)
def test_names_that_tell_something(name: str) -> None:
    assert not generic(name)


@pytest.mark.parametrize(
    "name", ["Click", "CLICK TRACK", "Guide Vox", "Erhu Prelay", "SFX 1", "Timecode", "2-pop", "Temp Music", "Ref Mix"]
)
def test_tracks_for_the_control_room(name: str) -> None:
    assert not_played(name)


@pytest.mark.parametrize(
    "name", ["Violin", "Clicksticks", "Guideon", "Fxaphone", "Temple Blocks", "Temple Bell", "Reference-free Harp 1"]
)
def test_names_in_which_such_words_only_begin(name: str) -> None:
    assert not_played(name) == (name == "Reference-free Harp 1")


@pytest.mark.parametrize(
    ("name", "stem", "told"),
    [
        ("Violin 1 Pizz", "violin 1", ("pizzicato",)),
        ("Violin 1 - Col Legno", "violin 1", ("col legno",)),
        ("Vln. Sus (KS)", "vln", ("long",)),
        ("Erhu Trem Con Sord", "erhu", ("tremolo", "con sordino")),
        ("Cello", "cello", ()),
        ("Longhorn", "longhorn", ()),
    ],
)
def test_player_and_technique(name: str, stem: str, told: tuple[str, ...]) -> None:
    assert split(name) == (stem, told)


def test_technique_words() -> None:
    assert technique_of("pizz.") == "pizzicato"
    assert technique_of("Spicc") == "short"
    assert technique_of("lamp") is None
