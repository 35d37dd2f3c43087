"""Pitches: names, heights, frequencies. Sources beside each check.

ISO 16:1975, Acoustics: standard tuning frequency: A in the treble stave is 440 Hz. MusicXML 4.0, elements step, alter, octave and
data type semitones, https://www.w3.org/2021/06/musicxml40/musicxml-reference/ .
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from xmlcheck.pitch import parse, spelled


def test_a_above_middle_c_is_440_hertz() -> None:
    assert parse("A4").frequency == 440  # ISO 16:1975


@pytest.mark.parametrize(
    ("name", "hertz"),
    # Equal temperament from A = 440 Hz by f = 440 * 2^(n/12), n semitones from A4; the rounded values stand in every table of
    # it, such as L. E. Kinsler and others, Fundamentals of Acoustics (from memory; recomputed here by repeated multiplication).
    [("C4", 261.626), ("E2", 82.407), ("G3", 195.998), ("A5", 880.0), ("C8", 4186.009), ("A0", 27.5)],
)
def test_equal_temperament(name: str, hertz: float) -> None:
    assert parse(name).frequency == pytest.approx(hertz, abs=0.0006)


def test_middle_c_begins_octave_4() -> None:
    # MusicXML 4.0, element octave: octaves run from 0 to 9, and 4 is the octave started by middle C.
    assert spelled("C", "", "4").cents == 6000
    assert spelled("B", "", "3").cents == 5900


@pytest.mark.parametrize(
    ("alter", "cents"), [("1", 100), ("-1", -100), ("-0.5", -50), ("+1", 100), ("1.5", 150), ("-2", -200), ("0", 0)]
)
def test_alter_is_semitones_and_may_be_decimal(alter: str, cents: int) -> None:
    # MusicXML 4.0, data type semitones: decimal numbers, 0.5 being a quarter tone sharp; XML Schema decimals may have a plus sign.
    assert spelled("D", alter, "4").cents == 6200 + cents


def test_small_alterations_keep_their_exact_size() -> None:
    assert spelled("B", "-0.15", "4").alter == Decimal("-0.15")
    assert spelled("B", "-0.15", "4").cents == 7100 - 15


def test_b_sharp_is_above_its_octave_number() -> None:
    # The octave number belongs to the letter (MusicXML 4.0, element octave): B#3 sounds as C4.
    assert parse("B#3").cents == parse("C4").cents
    assert parse("Cb4").cents == parse("B3").cents


def test_names_come_back() -> None:
    for name in ("C4", "Bb3", "F##5", "E4-50c", "A-1", "G2-15c"):
        assert str(parse(name)) == name


@pytest.mark.parametrize(
    ("name", "chromatic", "expected"),
    [
        ("C4", -2, "Bb3"),
        ("D5", -2, "C5"),
        ("F#4", -3, "D#4"),
        ("C5", -12, "C4"),
        ("E4", 12, "E5"),
        ("Bb3", 2, "C4"),
        ("G4", -7, "C4"),
        ("Db4", -3, "Bb3"),
    ],
)
def test_without_steps_the_usual_interval_is_taken(name: str, chromatic: int, expected: str) -> None:
    # Common practice, no source: the usual spelling of an interval that gives semitones only.
    assert str(parse(name).moved(chromatic)) == expected


def test_steps_decide_the_spelling() -> None:
    # MusicXML 4.0, element diatonic: it gives the correct spelling of enharmonic transpositions.
    assert str(parse("C4").moved(-2, -1)) == "Bb3"
    assert str(parse("C4").moved(-2, 0)) == "Cbb4"
    assert parse("C4").moved(-2, 0).cents == parse("Bb3").cents


@pytest.mark.parametrize(
    "texts", [("H", "", "4"), ("C", "x", "4"), ("C", "1e309", "4"), ("C", "", "four"), ("C", "", "400"), ("", "", "")]
)
def test_texts_that_are_no_pitch(texts: tuple[str, str, str]) -> None:
    with pytest.raises((ValueError, ArithmeticError)):
        spelled(*texts)
