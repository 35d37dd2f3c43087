"""Tunings in words.

Checked against how scores have it in English, German and solfège (common practice, no source): in German H is B natural, B is
B flat, Es E flat, Fis F sharp. Strings count from the treble side in Roman numbers.
"""

from __future__ import annotations

import pytest

from xmlcheck.pitch import parse
from xmlcheck_strings.tuning_words import nearest, read

CELLO, VIOLIN, GUITAR = ("C2 G2 D3 A3", "G3 D4 A4 E5", "E2 A2 D3 G3 B3 E4")


def said(text: str, strings: str) -> dict[str, str] | None:
    usual = [parse(name) for name in strings.split()]
    words = read(text, usual)
    return None if words is None else {usual[string].name: pitch.name for string, pitch in words.changes}


@pytest.mark.parametrize(
    ("text", "strings", "changes"),
    [
        ("IV = B flat", CELLO, {"C2": "Bb1"}),
        ("tune A down to G", CELLO, {"A3": "G3"}),
        ("Scordatura: C G D G", CELLO, {"A3": "G3"}),  # Bach's fifth suite: the top string a tone down
        ("C-Saite nach H umstimmen", CELLO, {"C2": "B1"}),
        ("C-Saite nach B umstimmen", CELLO, {"C2": "Bb1"}),
        ("A-Saite auf As stimmen", CELLO, {"A3": "Ab3"}),
        ("accordez la 4e corde en Si bémol", CELLO, {"C2": "Bb1"}),
        ("Scordatura: A E A E", VIOLIN, {"G3": "A3", "D4": "E4"}),
        ("E string to E♭", VIOLIN, {"E5": "Eb5"}),
        ("G-Saite nach Fis", VIOLIN, {"G3": "F#3"}),
        ("la corda di sol in fa diesis", VIOLIN, {"G3": "F#3"}),
        ("⑥ = D", GUITAR, {"E2": "D2"}),
        ("6 = D, 5 = G", GUITAR, {"E2": "D2", "A2": "G2"}),
        ("6th string to D", GUITAR, {"E2": "D2"}),
    ],
)
def test_read(text: str, strings: str, changes: dict[str, str]) -> None:
    assert said(text, strings) == changes


@pytest.mark.parametrize(
    "text",
    [
        "from A to B",
        "Clarinet in A to B flat",
        "sul G",
        "IV corda",
        "a tempo, in the air",
        "I = 60",
        "D = E",
        "cut to E",
        "dolce",
    ],
)
def test_other_words_say_nothing(text: str) -> None:
    assert said(text, VIOLIN) is None


def test_bare_b_keeps_both_readings() -> None:
    words = read("IV = B", [parse(name) for name in CELLO.split()])
    assert words is not None
    assert [pitch.name for _, pitch in words.changes] == ["B1"]
    assert [pitch.name for _, pitch in words.doubts] == ["Bb1"]


@pytest.mark.parametrize("text", ["IV = B flat", "IV = B natural", "C-Saite nach B umstimmen", "tune C down to B"])
def test_b_with_its_language_is_no_doubt(text: str) -> None:
    words = read(text, [parse(name) for name in CELLO.split()])
    assert words is not None
    assert words.doubts == ()


def test_back_to_the_usual_tuning() -> None:
    words = read("accordatura normale", [parse(name) for name in CELLO.split()])
    assert words is not None
    assert words.back


def test_scordatura_without_pitches_is_unread() -> None:
    words = read("scordatura", [parse(name) for name in CELLO.split()])
    assert words is not None
    assert words.unread


@pytest.mark.parametrize(("name", "usual", "pitch"), [(("B", 0), "C2", "B1"), (("F", 1), "G3", "F#3"), (("A", 0), "G3", "A3")])
def test_nearest(name: tuple[str, int], usual: str, pitch: str) -> None:
    assert nearest(name, parse(usual)).name == pitch
