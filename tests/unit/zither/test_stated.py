"""What the part says about its tuning: names, lists, moves, number notation, the standard's elements; and what only sounds like it."""

from __future__ import annotations

import pytest

from tests.unit.zither.reading import derived
from xmlcheck.pitch import parse
from xmlcheck_zither.stated import Statements

HIRAJOSHI = ["D4", "G3", "A3", "Bb3", "D4", "Eb4", "G4", "A4", "Bb4", "D5", "Eb5", "G5", "A5"]
"""Craig Sapp, Koto Sound Dictionary."""


def stated(words: str, heading: str = "Koto", rest: str = "D4.w | D4.w") -> list[list[str] | None]:
    """The tunings that a part states, string 1 first; None where the words tell none."""
    found = derived(f'"{words}" {rest}', heading, Statements)
    return [None if item.tuned is None else [str(cents) for cents in item.tuned.values()] for item in found.items]


def cents(names: list[str]) -> list[str]:
    return [str(parse(name).cents) for name in names]


@pytest.mark.parametrize("words", ["hirajoshi", "Hirajōshi", "平調子", "tuning: hira-joshi"])
def test_a_named_tuning(words: str) -> None:
    assert stated(words) == [cents(HIRAJOSHI)]


def test_a_list_string_by_string() -> None:
    own = "D4 G3 A3 C4 D4 F4 G4 A4 C5 D5 F5 G5 A5"
    assert stated(f"Tuning: {own}") == [cents(own.split())]


def test_letters_hold_for_all_octaves() -> None:
    """Degrees move the short way: A to A flat, B flat to C as kumoijoshi has it (Sapp)."""
    (found,) = stated("tuning D Eb G Ab C")
    assert found == cents(["D4", "G3", "Ab3", "C4", "D4", "Eb4", "G4", "Ab4", "C5", "D5", "Eb5", "G5", "Ab5"])


def test_a_move_of_every_string_of_a_note() -> None:
    (found,) = stated("retune Bb -> C")
    assert found == cents(["D4", "G3", "A3", "C4", "D4", "Eb4", "G4", "A4", "C5", "D5", "Eb5", "G5", "A5"])


def test_a_move_of_one_string() -> None:
    (found,) = stated("Bb4 → C5")
    assert found == cents(["D4", "G3", "A3", "Bb3", "D4", "Eb4", "G4", "A4", "C5", "D5", "Eb5", "G5", "A5"])


@pytest.mark.parametrize(
    ("words", "classes"), [("1=D", "D E F# A B"), ("1=G", "G A B D E"), ("1 = A", "A B C# E F#"), ("1=♭B", "Bb C D F G")]
)
def test_number_notation_names_do(words: str, classes: str) -> None:
    """Common practice: the key at the head of a part in number notation is that of the tuned do."""
    (found,) = stated(words, "Guzheng")
    assert found is not None
    assert {int(pitch) % 1200 for pitch in found} == {parse(f"{name}4").cents % 1200 for name in classes.split()}


def test_number_notation_later_on_is_the_key_of_the_music() -> None:
    found = derived('"1=D" D4.w | "1=G" G4.w', "Guzheng", Statements)
    assert len(found.items) == 1


def test_scordatura_counts_from_the_highest_string() -> None:
    """MusicXML 4.0, element accord: string 1 is the highest; the fifth highest of hirajoshi is B flat 4."""
    accord = '<accord string="5"><tuning-step>C</tuning-step><tuning-octave>5</tuning-octave></accord>'
    notes = f"`<direction><direction-type><scordatura>{accord}</scordatura></direction-type></direction>` D4.w"
    (item,) = derived(notes, "Koto", Statements).items
    assert item.tuned is not None
    assert item.tuned[8] == parse("C5").cents
    assert sum(item.tuned[n] != parse(name).cents for n, name in enumerate(HIRAJOSHI)) == 1


@pytest.mark.parametrize(
    "words", ["near the bridge", "dolce", "in tune with the flute", "a tune from the shore", "accord plaqué", "G"]
)
def test_what_is_no_statement(words: str) -> None:
    assert stated(words) == []


def test_words_that_tell_no_pitches_are_a_statement_all_the_same() -> None:
    assert stated("retune as agreed") == [None]
