"""Notes as they are played: repeats walked through, ties joined, harmonics left out."""

from __future__ import annotations

from tests.unit.zither.reading import derived
from xmlcheck_zither.uses import Played


def test_a_repeat_is_played_twice() -> None:
    played = derived("tempo=60 |: D4.h G4 :| A4.w", "Koto", Played)
    assert [(use.tone.sounding.name, use.turn, use.start) for use in played.uses] == [
        ("D4", 1, 0.0), ("G4", 1, 2.0), ("D4", 2, 4.0), ("G4", 2, 6.0), ("A4", 1, 8.0),
    ]  # fmt: skip


def test_a_tie_is_one_use() -> None:
    played = derived("tempo=60 D4.w~ | D4.h G4", "Koto", Played)
    assert [(use.tone.sounding.name, use.end - use.start) for use in played.uses] == [("D4", 6.0), ("G4", 2.0)]


def test_a_chord_is_struck_together_from_low_to_high() -> None:
    played = derived("tempo=60 [G4 D4].h A4", "Koto", Played)
    assert [[use.tone.sounding.name for use in struck.uses] for struck in played.struck] == [["D4", "G4"], ["A4"]]


def test_harmonics_say_nothing_of_the_tuning() -> None:
    played = derived("tempo=60 D4.h!harmonic=natural G4", "Koto", Played)
    assert [use.tone.sounding.name for use in played.uses] == ["G4"]
