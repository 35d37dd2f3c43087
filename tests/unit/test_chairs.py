"""Seats: one player or section, one instrument, one span. Names of instruments here are invented: the core knows none."""

from __future__ import annotations

import gc
import weakref

import pytest

from xmlcheck import checking
from xmlcheck.chairs import Seat, seats, without
from xmlcheck.config import Config
from xmlcheck.document import parse
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.model import Score
from xmlcheck.reader import read
from xmlcheck.registry import discover
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import Instrument, Part, score

KNOWN = {"lantern pipe", "small lantern pipe", "l. p.", "sm. l. p.", "tide drum", "lanternpipe", "f"}


def knows(text: str) -> bool:
    return " ".join(text.casefold().split()) in KNOWN


def scored(notes: str, instruments: tuple[Instrument, ...] = (), *changes: tuple[str, str]) -> Score:
    text = score(Part(notes, "Lantern pipe", instruments=instruments)).decode()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read(parse(from_bytes(text.encode(), "test.musicxml")))


def seated(notes: str, instruments: tuple[Instrument, ...] = (), *changes: tuple[str, str]) -> tuple[Seat, ...]:
    return seats(scored(notes, instruments, *changes).parts[0], knows)


def said(seat: Seat) -> str:
    return " ".join(note.written.name if note.written else "X" for note in seat.notes)


TWO = (Instrument("Lantern pipe"), Instrument("Small lantern pipe"))


def test_a_plain_part_is_one_seat() -> None:
    (seat,) = seated("C4.w D4")
    assert (seat.name, seat.announced, said(seat)) == ("P1", "", "C4 D4")
    assert seat.instrument is not None
    assert seat.instrument.name == "Lantern pipe"


def test_a_part_without_notes_has_a_seat() -> None:
    (seat,) = seated("R")
    assert seat.notes == ()


# Common practice of orchestral parts, no source: the languages in which changes are announced.
@pytest.mark.parametrize(
    ("words", "announced"),
    [
        ("to Small lantern pipe", "Small lantern pipe"),
        ("(to Small lantern pipe)", "Small lantern pipe"),
        ("muta in Sm. L. P.", "Sm. L. P."),
        ("1. muta in Sm. L. P.", "Sm. L. P."),
        ("change to Small Lantern Pipe", "Small Lantern Pipe"),
        ("take Tide drum", "Tide drum"),
        ("nimmt Tide drum", "Tide drum"),
        ("Tide drum nehmen", "Tide drum"),
        ("prend la Tide drum", "Tide drum"),
        ("prenez le Tide drum", "Tide drum"),
        ("pasa a Tide drum", "Tide drum"),
        ("to Tide drum at bar 40", "Tide drum"),
        ("to Tide drum, if possible", "Tide drum"),
    ],
)
def test_words_change_the_instrument(words: str, announced: str) -> None:
    first, second = seated(f'C4.w | "{words}" R | D4.w')
    assert (said(first), said(second)) == ("C4", "D4")
    assert (second.announced, second.name, second.start) == (announced, "P1/2", first.end)
    assert (first.announced, first.name) == ("", "P1")


@pytest.mark.parametrize(
    "words",
    ["to Coda", "take mutes", "D.S. al Coda", "to the end", "muta in", "return to tempo", "like a Tide drum", "into Tide"],
)
def test_other_words_do_not(words: str) -> None:
    assert len(seated(f'C4.w | "{words}" R | D4.w')) == 1


def test_to_coda_is_a_jump_even_where_an_instrument_is_called_so() -> None:
    part = scored('C4.w | "to Coda" D4.w').parts[0]
    assert len(seats(part, lambda text: True)) == 1


def test_there_and_back_again() -> None:
    result = seated('C4.w | "to Tide drum" R | D4.w | "to Lantern pipe" R | E4.w')
    assert [said(seat) for seat in result] == ["C4", "D4", "E4"]
    assert [seat.announced for seat in result] == ["", "Tide drum", "Lantern pipe"]


def test_a_reminder_changes_nothing() -> None:
    assert len(seated('C4.w | "to Tide drum" R | D4.w | "to Tide drum" E4.w')) == 2


def test_words_before_the_first_note_name_the_first_seat() -> None:
    (seat,) = seated('"take Tide drum" R | C4.w')
    assert (seat.announced, seat.start) == ("Tide drum", 0)


CHANGE = "`<sound><instrument-change id='P1-I1'><instrument-sound>{}</instrument-sound></instrument-change></sound>`"


# MusicXML 4.0, element instrument-change: "a change to the virtual instrument sound for a given score-instrument": the id says
# which one is changed, the sound what it becomes.
def test_an_instrument_change_gives_the_new_sound() -> None:
    first, second = seated(f"C4.w | {CHANGE.format('wind.small')} D4.w")
    assert first.instrument is not None
    assert second.instrument is not None
    assert (first.instrument.name, first.instrument.sound) == ("Lantern pipe", "")
    assert (second.instrument.id, second.instrument.name, second.instrument.sound) == ("P1-I1", "", "wind.small")


def test_words_and_playback_data_of_one_change_are_one() -> None:
    first, second = seated(f'C4.w | "to Small lantern pipe" R | {CHANGE.format("wind.small")} D4.w')
    assert (said(first), said(second), second.announced) == ("C4", "D4", "Small lantern pipe")
    assert second.instrument is not None
    assert second.instrument.sound == "wind.small"


def test_a_change_to_what_is_there_is_none() -> None:
    again = CHANGE.format("wind.small")
    assert len(seated(f"C4.w | {again} D4.w | {again} E4.w")) == 2


# Some files use the id to say which instrument plays. Where each note names its own, that holds.
def test_a_change_to_another_score_instrument_of_the_part() -> None:
    change = "`<sound><instrument-change id='P1-I2'/></sound>`"
    assert len(seated(f"C4.w | {change} D4.w", TWO)) == 1
    unmarked = seated(f"C4.w | {change} D4.w", TWO, ('<instrument id="P1-I1"/>', ""))
    assert [seat.instrument.name if seat.instrument else "" for seat in unmarked] == ["Lantern pipe", "Small lantern pipe"]


# MusicXML 4.0, element print with part-name-display: the part's name from here on.
def test_a_new_part_name_changes_the_instrument() -> None:
    name = "`<print><part-name-display><display-text>Tide drum</display-text></part-name-display></print>`"
    first, second = seated(f"{name.replace('Tide drum', 'Lantern pipe')} C4.w | {name} D4.w")
    assert (first.announced, second.announced) == ("", "Tide drum")


def test_one_player_doubling_gets_a_seat_for_each_stretch() -> None:
    result = seated("C4.w | R | instrument=2 D5.w | R | instrument=1 E4.w", TWO)
    assert [(said(seat), seat.instrument.name if seat.instrument else "") for seat in result] == [
        ("C4", "Lantern pipe"),
        ("D5", "Small lantern pipe"),
        ("E4", "Lantern pipe"),
    ]
    assert result[1].end == result[2].start


def test_instruments_that_sound_together_are_seats_side_by_side() -> None:
    first, second = seated("V1: C5.w D5 V2: instrument=2 C4.w D4", TWO)
    assert (said(first), said(second)) == ("C5 D5", "C4 D4")
    assert first.start == second.start == 0
    assert first.end == second.end


def test_instruments_that_take_turns_without_time_to_change_are_seats_side_by_side() -> None:
    result = seated("{x8 instrument=1 C4.e D4 instrument=2 E4 F4}", TWO)
    assert [len(seat.notes) for seat in result] == [16, 16]


# MusicXML 4.0, element instrument: "Notes that are shared between multiple score-instruments can have more than one".
def test_a_shared_note_sits_in_both_seats() -> None:
    shared = ('<instrument id="P1-I1"/>', '<instrument id="P1-I1"/><instrument id="P1-I2"/>')
    first, second = seated("V1: C5.w D5 V2: instrument=2 C4.w D4", TWO, shared)
    assert said(first) == "C5 D5"
    assert said(second) == "C5 C4 D5 D4"


def test_a_note_without_instrument_goes_on_with_that_of_its_voice() -> None:
    result = seated("V1: C5.w D5 V2: instrument=2 C4.w D4", TWO, ('<instrument id="P1-I2"/>', ""))
    assert [seat.instrument.name if seat.instrument else "" for seat in result] == ["Lantern pipe"]


def test_a_kit_is_one_seat_that_the_heading_names() -> None:
    (seat,) = seated("V1: XF4.q XF4 XF4 XF4 V2: instrument=2 XC5.h XC5", (Instrument("Low shell"), Instrument("High shell")))
    assert (len(seat.notes), seat.instrument) == (6, None)


def test_the_unpitched_instruments_beside_a_pitched_one_are_one_seat() -> None:
    three = (Instrument("Tide drum"), Instrument("Low shell"), Instrument("High shell"))
    pitched, kit = seated("V1: C3.w D3 V2: instrument=2 XF4.h instrument=3 XC5 XC5.w", three)
    assert (said(pitched), said(kit)) == ("C3 D3", "X X X")


def test_claimed_events_are_gone() -> None:
    (seat,) = seated("C4.w D4")
    taken = seat.notes[0].anchor
    assert said(without(seat, frozenset({taken}))) == "D4"
    assert without(seat, frozenset()) is seat


# Players. Common practice of orchestral parts, no source.


def alone(notes: str, many: bool = False) -> str:
    """For each note, 1 where it is surely read by one player, else 0."""
    whole = scored(notes)
    (seat,) = seats(whole.parts[0], knows)
    chair = Chair(seat, ScoreFacts(whole), many=many)
    return "".join(str(int(chair.for_one_player(note.onset))) for note in seat.notes)


def test_a_part_for_one_player_without_any_such_word() -> None:
    assert alone('C4.w | "espr." D4') == "11"


def test_a_section_without_any_such_word() -> None:
    assert alone("C4.w D4", many=True) == "00"


@pytest.mark.parametrize(
    "words",
    ["a 2", "a2", "à 2", "zu 2", "a 3", "a due", "div.", "Div.", "divisi", "div. a 3", "geteilt", "divisés", "tutti",
     "gli altri", "soli", "2 soli", "unis.", "1. Pult", "2 players", "die Hälfte", "la metà", "half", "分奏", "トゥッティ"],
)  # fmt: skip
def test_words_for_several_players_make_the_whole_part_unsure(words: str) -> None:
    assert alone(f'C4.w | "{words}" D4 | E4') == "000"


@pytest.mark.parametrize(
    "words",
    ["solo", "Solo", "SOLO", "1 solo", "solo espr.", "1.", "2.", "1°", "one player", "uno solo", "un seul", "独奏", "соло"],
)
def test_a_solo_of_a_section_ends_with_tutti(words: str) -> None:
    assert alone(f'C4.w | "{words}" D4 | E4 | "tutti" F4 | G4', many=True) == "01100"


@pytest.mark.parametrize("words", ["unis.", "a 2", "div.", "gli altri", "tutti", "unisono", "zu 2"])
def test_what_ends_a_solo(words: str) -> None:
    assert alone(f'"solo" C4.w | "{words}" D4', many=True) == "10"


# Where no word ends it, a solo is trusted as far as the next rest of a bar; after it the section may be meant again.
def test_a_solo_that_nothing_ends_is_trusted_to_the_next_bar_of_rest() -> None:
    assert alone('"solo" C4.w | D4.h r.h | E4.w | R | F4.w', many=True) == "1110"


# "unis.": all play the same line; a section still divides a chord.
def test_unison_is_not_one_player() -> None:
    assert alone('"div." [C4 E4].w | "unis." D4 | [E4 G4]', many=True) == "00000"


# "non div.": every player plays the whole chord, so what holds for one hand holds here.
@pytest.mark.parametrize("words", ["non div.", "non divisi", "nicht geteilt", "non divisés"])
def test_undivided_chords_are_for_each_player(words: str) -> None:
    assert alone(f'C4.w | "{words}" [D4 A4].w | "div." [D4 A4].w', many=True) == "01100"


def test_solo_and_the_others_at_once_are_several() -> None:
    assert alone('"solo" "gli altri" C4.w', many=True) == "0"


@pytest.mark.parametrize(
    "words",
    ["solemn", "absolo", "aria 2", "bar 12.", "IV", "sul I", "tuttifrutti", "2a volta", "consolo", "half hole",
     "unison with oud"],
)  # fmt: skip
def test_words_that_only_look_so(words: str) -> None:
    assert alone(f'C4.w | "{words}" D4') == "11"
    assert alone(f'C4.w | "{words}" D4', many=True) == "00"


def test_a_doubled_transposition_is_for_two() -> None:
    text = "`<attributes><transpose><chromatic>0</chromatic><double/></transpose></attributes>`"
    assert alone(f"{text} C3.w") == "0"


# MusicXML 4.0, elements solo and ensemble: "performance is intended by a solo instrument", "by an ensemble".
def test_playback_data_may_tell_solo_and_section() -> None:
    change = "`<sound><instrument-change id='P1-I1'>{}</instrument-change></sound>`"
    solo, many = change.format("<solo/>"), change.format("<ensemble>8</ensemble>")
    assert alone(f"C4.w | {solo} D4.w | {many} E4.w", many=True) == "010"


def test_the_result_does_not_depend_on_hashing() -> None:
    first = seated(f'C4.w | "to Tide drum" {CHANGE.format("drum.tide")} D4.w')
    assert [seat.announced for seat in first] == ["", "Tide drum"]
    assert first[1].instrument is not None
    assert first[1].instrument.sound == "drum.tide"


# Common practice of orchestral parts, no source: in a part for two, a number before the words is the player who changes.
@pytest.mark.parametrize("words", ["2. muta in Tide drum", "II. nimmt Tide drum", "2nd to Tide drum", "(2. to Tide drum)"])
def test_one_of_several_players_changes_and_the_part_does_not(words: str) -> None:
    notes = f'C4.w | "{words}" R | D4.w'
    both = read(parse(from_bytes(score(Part(notes, "Lantern pipes 1 & 2")), "test.musicxml")))
    assert len(seats(both.parts[0], knows)) == 1
    alone = read(parse(from_bytes(score(Part(notes, "Lantern pipe 2")), "test.musicxml")))
    assert len(seats(alone.parts[0], knows)) == 2


def test_both_players_change_where_no_number_stands() -> None:
    both = read(parse(from_bytes(score(Part('C4.w | "to Tide drum" R | D4.w', "Lantern pipes 1 & 2")), "test.musicxml")))
    assert len(seats(both.parts[0], knows)) == 2


# Common practice, no source: a bare key behind such a verb means the same instrument in that key; behind "to" it is a place.
@pytest.mark.parametrize(
    ("words", "announced"),
    [
        ("muta in A", "lantern pipe in A"),
        ("muta in Sib", "lantern pipe in Bb"),
        ("nimmt B", "lantern pipe in Bb"),
        ("to A", ""),
        ("muta in E F#", ""),
    ],
)
def test_a_bare_key_is_the_same_instrument_in_that_key(words: str, announced: str) -> None:
    part = scored(f'C4.w | "{words}" R | D4.w').parts[0]
    found = seats(part, lambda text: text.startswith("lantern pipe in "))
    assert [seat.announced for seat in found] == (["", announced] if announced else [""])


def test_a_chair_does_not_change() -> None:
    """All rules see the same one: a rule that sets something on it is stopped."""
    facts = ScoreFacts(read(parse(from_bytes(score("C4.w"), "test"))))
    chair = Chair(seats(facts.score.parts[0], lambda text: False)[0], facts)
    with pytest.raises(AttributeError, match="does not change"):
        chair.many = True
    with pytest.raises(TypeError):
        chair.index_of[0] = 1  # type: ignore[index]  # what the test is about
    assert len(chair.tones) == 1


def test_a_score_goes_with_its_check() -> None:
    """No circle is left that only the collector could find: a library of scores would wait for it, score by score."""
    made: list[weakref.ref[ScoreFacts]] = []

    class Watched(ScoreFacts):
        def __init__(self, score: Score) -> None:
            super().__init__(score)
            made.append(weakref.ref(self))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(checking, "ScoreFacts", Watched)
        patch.setattr(gc, "enable", lambda: None)
        try:
            checking.check_source(from_bytes(score(Part("C4.q D4 E4 F4", "Violin")), "test"), discover(), Config())
            assert [reference() for reference in made] == [None]
        finally:
            patch.undo()
            gc.enable()
