"""Pedals and levers: the fewest changes, against brute force over every setting; chords that no setting has."""

from __future__ import annotations

import itertools
import random

import pytest

from xmlcheck.pitch import parse
from xmlcheck_zither.planning.levers import Board, Row, Wanted
from xmlcheck_zither.planning.pedals import LETTERS, NATURAL, POSITIONS, Spelled, as_written, options, pedalled
from xmlcheck_zither.planning.settings import Option, changes, fewest

SHARPS = {
    n: (name[0], len(name) - 1) for n, name in enumerate(["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"])
}
SETTINGS = list(itertools.product(POSITIONS, repeat=7))


def chord(*classes: int) -> tuple[Spelled, ...]:
    return tuple(Spelled(*SHARPS[pitch]) for pitch in classes)


def spelled(text: str) -> tuple[Spelled, ...]:
    return tuple(Spelled(name[0], name.count("#") - name[1:].count("b")) for name in text.split())


def sounds(setting: tuple[int, ...]) -> set[int]:
    return {(NATURAL[letter] + position) % 12 for letter, position in zip(LETTERS, setting, strict=True)}


def test_brute_force_agrees_on_the_fewest_changes() -> None:
    """Random chords: the least number of changed pedals over all 2187 settings for each, by plain dynamic programming."""
    random.seed(3)
    for _ in range(10):
        chords = [random.sample(range(12), random.randint(2, 3)) for _ in range(random.randint(2, 4))]
        layer: dict[tuple[int, ...], int] | None = None
        for classes in chords:
            able = [setting for setting in SETTINGS if set(classes) <= sounds(setting)] or SETTINGS
            layer = {
                setting: 0 if layer is None else min(cost + sum(map(int.__ne__, old, setting)) for old, cost in layer.items())
                for setting in able
            }
        assert layer is not None
        found = pedalled([chord(*classes) for classes in chords])
        assert found.exact
        assert found.changes == min(layer.values())


def test_one_trichord_has_no_setting() -> None:
    """Canton and Overlach, Pedals, composingforharp.com: G, G sharp and A together are impossible; C, C sharp and D are not."""
    none = [triple for triple in itertools.combinations(range(12), 3) if not options(chord(*triple))]
    assert none == [(7, 8, 9)]


def test_every_two_notes_have_a_setting() -> None:
    assert all(options(chord(*pair)) for pair in itertools.combinations(range(12), 2))


def test_options_agree_with_all_settings() -> None:
    """A chord has an option if and only if one of the 2187 settings sounds it."""
    for size in (3, 4):
        for classes in itertools.combinations(range(12), size):
            assert bool(options(chord(*classes))) == any(set(classes) <= sounds(setting) for setting in SETTINGS)


@pytest.mark.parametrize(("written", "moves"), [("C C# C C#", 3), ("C Db C Db", 0), ("E Eb D Db C", 2)])
def test_changes_as_written(written: str, moves: int) -> None:
    assert pedalled([as_written((note,)) for note in spelled(written)]).changes == moves


def test_a_chromatic_octave_needs_five_changes() -> None:
    """Twelve notes on seven letters, one after the other: five letters have to change."""
    assert pedalled([chord(n % 12) for n in range(13)]).changes == 5


def test_where_settings_are_cut_the_bound_says_so() -> None:
    random.seed(8)
    chords = [options(chord(*random.sample(range(12), 3))) for _ in range(60)]
    exact, cut = fewest(chords, 7), fewest(chords, 7, kept=3)
    assert exact.exact
    assert cut.bound <= exact.changes <= cut.changes


def test_changes_have_their_window() -> None:
    needed = [((0, 0),), ((1, 0),), ((0, 1),)]
    (change,) = changes([(0, 1), (1, 2), (2, 3)], needed)
    assert (change.item, change.before, change.after, change.release, change.deadline, change.chord) == (0, 0, 1, 1, 2, 2)


def test_an_item_never_used_costs_nothing() -> None:
    way = fewest([[Option(((0, 1),))], [Option(((1, -1),))]], 2)
    assert way.changes == 0
    assert way.opening == (1, -1)


def board() -> Board:
    rows = [
        Row(name[0], 4, (parse(name).cents, parse(name).cents + 100)) for name in ["C4", "D4", "Eb4", "F4", "G4", "Ab4", "Bb4"]
    ]
    return Board(rows)


def wanted(name: str, respell: bool = False) -> Wanted:
    pitch = parse(name)
    return Wanted(pitch.cents, pitch.step, pitch.octave, respell)


def test_a_note_stands_on_the_string_of_its_letter() -> None:
    assert board().places(wanted("C#4")) == ((0, 1),)
    assert board().places(wanted("Db4")) == ((0, 1),)
    assert [place[0] for place in board().places(wanted("D#4", respell=True))] == [1, 2]


def test_two_pitches_of_one_string_have_no_option() -> None:
    assert board().options([wanted("Eb4", True), wanted("E4", True), wanted("D4", True)]) == ()
    assert board().options([wanted("Eb4", True), wanted("E4", True)]) != ()


def test_another_string_saves_a_lever() -> None:
    notes = ["D#4", "D4", "D#4", "D4"]
    assert board().played([[wanted(name)] for name in notes]).changes == 3
    assert board().played([[wanted(name, True)] for name in notes]).changes == 0
