"""Tracks of one player, trigger clusters and ornaments, on music written for the purpose (common practice, no source)."""

from __future__ import annotations

from typing import Any

import pytest

from xmlcheck.cited import Cited
from xmlcheck.document import parse
from xmlcheck.facets import Compass
from xmlcheck.facts.tones import tones
from xmlcheck.finding import Certainty
from xmlcheck.model import Score
from xmlcheck.pitch import parse as pitch
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing import Part, score
from xmlcheck_export.ornaments import figures
from xmlcheck_export.tracks import changes, players, sounding, together
from xmlcheck_export.triggers import Cluster, find


def made(*parts: Any) -> Score:
    return read(parse(from_bytes(score([Part(notes, name=name) for name, notes in parts]), "test")))


def compass(low: str, high: str) -> Compass:
    return Compass(*(Cited(pitch(name), (), Certainty.DOCUMENTED) for name in (low, high)))


LONG, PIZZ = ("Cello Long", "clef=bass C3.w | R | G3.w"), ("Cello Pizz", "clef=bass R | C3.q D3 E3 F3 | R")


def test_interlocking_tracks_are_one_player() -> None:
    music = made(LONG, PIZZ, ("Viola", "clef=alto C4.w | D4.w | E4.w"))
    (player,) = players(music.parts)
    assert (player.stem, [track.technique for track in player.tracks]) == ("cello", ["long", "pizzicato"])
    assert [(change.old.technique, change.new.technique) for change in changes(player)] == [
        ("long", "pizzicato"),
        ("pizzicato", "long"),
    ]


def test_tracks_that_sound_together_are_several_players() -> None:
    assert players(made(LONG, ("Cello Pizz", "clef=bass C3.q D3 E3 F3 | R | C3.w")).parts) == ()


def test_confirmed_by_the_writer() -> None:
    music = made(("Sea", "C4.w | R"), ("Lamp", "R | C4.w"))
    (player,) = players(music.parts, "Bells = Sea, P2")
    assert player.confirmed
    assert (player.stem, len(player.tracks)) == ("Bells", 2)


def test_stretches() -> None:
    (part,) = made(("A", "C4.h r | r.q D4.q~ D4.h")).parts
    assert sounding(part) == [(0, 2), (5, 8)]
    assert together([(0, 4), (6, 9)], [(3, 7)]) == [(3, 4), (6, 7)]


def cluster(notes: str, facet: Compass | None) -> Cluster | None:
    music = made(("A", notes))
    return find(tones(music.parts[0].notes), facet, music.resolution, 1)


def test_triggers_by_pitch_gap_and_behaviour() -> None:
    """{24, 25, 26 | 60 ... 74}: the widest gap lies between 26 and 60."""
    notes = "C4.e. r.t C1.t D4.q!accent E4 F4.e. r.t C#1.t | G4.q A4 C5 D5.e. r.t D1.t | C4.w"
    found = cluster(notes, compass("C3", "C7"))
    assert found is not None
    assert [tone.sounding.name for tone in found.tones] == ["C1", "C#1", "D1"]
    assert found.outside
    assert found.gap == 3400


@pytest.mark.parametrize(
    "notes",
    [
        "G3.h D5 | E5.q D5 B4 G4 | G3.h D5 | G4.w",  # an open string
        "C3.w | C4.e D4 E4 F4 G4 F4 E4 D4 | C3.w",  # bass notes of the music
        "C4.q D4 E4 F4 | G4.q A4 B4 C5",  # no gap at all
    ],
)
def test_music_is_no_trigger(notes: str) -> None:
    assert cluster(notes, compass("C3", "C7")) is None
    assert cluster(notes, None) is None


def kinds(notes: str) -> list[tuple[str, int, str]]:
    music = made(("A", notes))
    return [(kind, len(run), main.written.name) for kind, run, main in figures(tones(music.parts[0].notes), music.resolution)]


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("D4.x D#4 E4 F4 F#4.e. A4.q A4.h", [("slide", 4, "F#4")]),
        ("A4.t B4 A4 B4 A4 B4 A4 B4 A4.3q", [("waver", 8, "A4")]),
        ("A4.t B4 A4 G4 A4.q. A4.h", [("turn", 4, "A4")]),
        ("A4.e B4 A4 B4 A4.h", []),
        ("C4.t E4 G4 C5 C5.e. C5.s C5.q C5.h", []),
    ],
)
def test_figures(notes: str, expected: list[tuple[str, int, str]]) -> None:
    assert kinds(notes) == expected
