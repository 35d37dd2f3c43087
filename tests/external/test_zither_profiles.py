"""Profiles of zithers, harps and hammered strings against published figures and a general-purpose library (music21, test only)."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from xmlcheck.pitch import parse
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry, discover


@cache
def installed() -> Registry:
    return discover()


def profile(id: str) -> Profile:
    return installed().profile(id)


def usual(id: str) -> list[str]:
    return [pitch.name for pitch in profile(id).facets["string_set"].usual.pitches]


def facet(id: str, name: str) -> Any:
    return profile(id).facets[name]


@pytest.mark.parametrize(
    ("id", "strings", "lowest", "highest"),
    [
        ("guzheng", 21, "D2", "D6"),  # Denburg, Zheng: 21 strings, D2 to D6
        ("koto", 13, "G3", "A5"),  # Sapp: 13 strings, all tunings between G3 and A5
        ("koto-17", 17, "C2", "E4"),  # Hirayama, Encyclopedia Nipponica: C2 to E4
        ("gayageum-12", 12, "G2", "D5"),  # encyclopaedia article, gayageum
        ("dan-tranh", 17, "G3", "A6"),  # Modal scales of the dan tranh: 17 strings, lowest G3
        ("santur-persian", 27, "E3-50c", "F6"),  # santoori.com: nine courses in three positions
        ("lever-harp", 34, "C2", "Ab6"),  # 34 strings from two octaves below middle C, in E flat
        ("kora", 21, "F2", "A5"),  # kora-music.com: 21 strings, four octaves begun on F
        ("cimbalom", 58, "C2", "A6"),  # Tolle: C2 to A6, all semitones
    ],
)
def test_strings(id: str, strings: int, lowest: str, highest: str) -> None:
    names = usual(id)
    ordered = sorted(names, key=lambda name: parse(name).cents)
    assert (len(names), ordered[0], ordered[-1]) == (strings, lowest, highest)


def test_yangqin_has_every_semitone_but_two() -> None:
    """Celia Chan: G2 to A6, without G#2 and Bb2."""
    inside = {parse(name).cents for name in usual("yangqin")}
    every = set(range(parse("G2").cents, parse("A6").cents + 1, 100))
    assert every - inside == {parse("G#2").cents, parse("Bb2").cents}
    assert [pitch.name for pitch in facet("yangqin", "string_set").missing.value] == ["G#2", "Bb2"]


def test_kora_by_octaves() -> None:
    """kora-music.com, Scales and tunings: steps I V VI VII; I to VII; I to VII; I II III of F major."""
    assert usual("kora") == [
        "F2",
        "C3",
        "D3",
        "E3",
        "F3",
        "G3",
        "A3",
        "Bb3",
        "C4",
        "D4",
        "E4",
        "F4",
        "G4",
        "A4",
        "Bb4",
        "C5",
        "D5",
        "E5",
        "F5",
        "G5",
        "A5",
    ]


def test_qanun_steps() -> None:
    """Alkhouri, Information about the qanun: C natural to C double sharp and E flat to E sharp by quarter-tones."""
    steps = {letter: item.cents for item in facet("qanun", "levers").steps for letter in item.letters}
    assert steps["C"] == steps["F"] == (0, 50, 100, 150, 200)
    assert all(steps[letter] == (-100, -50, 0, 50, 100) for letter in "DEGAB")
    courses = [name for name in usual("qanun") if parse("G2").cents <= parse(name).cents <= parse("D6").cents]
    assert len(courses) == 26  # 24 to 27 courses (encyclopaedia article, qanun)


@pytest.mark.parametrize(("id", "notes"), [("yangqin", 2), ("cimbalom", 2), ("santur-persian", 2), ("santoor-indian", 2)])
def test_two_hammers(id: str, notes: int) -> None:
    """Celia Chan; Tolle; santour7dastgah.com; encyclopaedia article, santoor."""
    hammers = facet(id, "hammers")
    assert (hammers.at_once.value, hammers.at_once.certainty.value) == (notes, "documented")


def test_pedal_harp() -> None:
    """Volpé Bligh, Writing for the pedal harp: left D C B, right E F G A; no discs on the bottom C and D; four fingers."""
    pedals, picks = facet("harp-pedal", "harp_pedals"), facet("harp-pedal", "picks")
    assert (pedals.left.value, pedals.right.value) == ("DCB", "EFGA")
    assert [pitch.name for pitch in pedals.fixed.value] == ["C1", "D1"]
    assert (picks.right.value, picks.left.value) == (4, 4)


def test_pedal_harp_against_music21() -> None:
    """music21 10.5: harp from C1 to G#7. Ours begins on the same string set flat, and ends with the 48th string that some have."""
    music21 = pytest.importorskip("music21")
    harp = music21.instrument.Harp()
    compass = facet("harp-pedal", "compass")
    assert compass.comfortable_lowest.value.name == harp.lowestNote.nameWithOctave == "C1"
    assert compass.lowest.value.cents == round(harp.lowestNote.ps * 100) - 100
    assert round(harp.highestNote.ps * 100) <= compass.highest.value.cents == parse("A7").cents


def test_lever_harp_raises_a_semitone() -> None:
    """What is a lever harp, wisegeek.net: each lever raises its string a semitone."""
    assert facet("lever-harp", "levers").rise.value == 1


def test_koto_presses() -> None:
    """Global Koto Music: a half step, a whole step; Kawai: a tone and a half in older pieces."""
    pressing = facet("koto", "pressing")
    assert (pressing.up.value, pressing.limit.value) == (2, 3)
    assert pressing.up.certainty.value == pressing.limit.certainty.value == "documented"
