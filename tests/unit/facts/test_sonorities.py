"""Sonorities: what sounds together, and for how long. Definitions as in the module; examples by hand."""

from __future__ import annotations

from xmlcheck.document import parse
from xmlcheck.facts.sonorities import Sonority, sonorities
from xmlcheck.facts.tones import tones
from xmlcheck.model import Note
from xmlcheck.pitch import parse as pitch
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import score


def together(notation: str) -> tuple[Sonority, ...]:
    return sonorities(tones(read(parse(from_bytes(score(notation), "test.musicxml"))).parts[0].notes))


def names(sonority: Sonority) -> list[str]:
    return sorted(tone.sounding.name for tone in sonority.tones)


def test_a_held_note_belongs_to_every_sonority_under_it() -> None:
    first, second = together("V1: C4.w V2: E4.h G4")
    assert (names(first), names(second)) == (["C4", "E4"], ["C4", "G4"])
    assert [tone.sounding.name for tone in second.struck] == ["G4"]
    assert first.end == second.onset


def test_a_note_that_ends_where_another_begins_is_not_in_it() -> None:
    assert [names(item) for item in together("C4.h D4.h")] == [["C4"], ["D4"]]


def test_the_end_is_that_of_the_first_note_to_stop() -> None:
    (one,) = together("V1: C4.w V2: E4.q _.q _.h")
    assert one.end - one.onset == one.tones[1].duration


def test_a_unison_of_two_voices_is_one_pitch() -> None:
    (one,) = together("V1: C4.w V2: C4.w")
    assert (len(one.tones), one.pitches) == (2, 1)


def test_a_tied_note_is_not_struck_again() -> None:
    first, second = together("V1: C4.2w V2: E4.w G4.w")
    assert [tone.sounding.name for tone in first.struck] == ["C4", "E4"]
    assert [tone.sounding.name for tone in second.struck] == ["G4"]


def test_a_note_without_length_neither_sounds_nor_cuts() -> None:
    def head(name: str, onset: int, length: int) -> Note:
        return Note(onset, length, 0, onset, "1", 1, pitch(name), pitch(name))

    (one,) = sonorities(tones([head("C4", 0, 8), head("E4", 4, 0)]))
    assert (one.end, names(one)) == (8, ["C4"])


def test_nothing_sounds_in_an_empty_part() -> None:
    assert together("R") == ()
