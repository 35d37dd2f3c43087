"""Words with a lasting meaning. What the words mean is common practice of scores (no source) unless said otherwise."""

from __future__ import annotations

import pytest

from xmlcheck.facts.techniques import Wording, folded, mentions, says, spans
from xmlcheck.model import Direction, Mark

PIZZ = Wording("pizzicato", ("pizz.", "pizzicato"), ("arco", "col legno"), lasting=True)
ARCO = Wording("arco", ("arco", "arco ord."), ("pizz.", "pizzicato"), lasting=True)
ON, OFF = ("con sord.", "con sordino", "sord.", "mit Dämpfer", "弱音器"), ("senza sord.", "via sord.", "弱音器なし")
MUTE = Wording("mute", ON, OFF, lasting=True)
PONT = Wording("ponticello", ("sul pont.", "s.p."), ("ord.", "nat.", "sul tasto"), lasting=True)
STILL = Wording("non-vibrato", ("non vib.", "s.v."), ("vib.", "ord."), lasting=True)
LEFT = Wording("left-hand-pizzicato", ("l.h. pizz.",))
ALL = (PIZZ, ARCO, MUTE, PONT, STILL, LEFT)


def said(*texts: str | tuple[str, int]) -> tuple[Direction, ...]:
    """One direction a tick, each a text or (text, staff)."""
    result = []
    for tick, item in enumerate(texts):
        text, staff = item if isinstance(item, tuple) else (item, 0)
        result.append(Direction(tick, tick, 0, tick, (Mark("direction", "words", value=text),), staff))
    return tuple(result)


def told(*texts: str | tuple[str, int], vocabulary: tuple[Wording, ...] = ALL) -> set[tuple[str, int, int | None]]:
    return {(span.id, span.start, span.end) for span in spans(said(*texts), vocabulary)}


@pytest.mark.parametrize(
    ("text", "words", "expected"),
    [
        ("Pizz.", ("pizz.",), True),
        ("PIZZICATO", ("pizzicato",), True),
        ("pizzicato", ("pizz.",), False),  # whole words only
        ("molto pizz. sempre", ("pizz.",), True),
        ("(pizz.)", ("pizz",), True),
        ("mit Dampfer", ("mit Dämpfer",), True),
        ("MIT DÄMPFER", ("mit Dämpfer",), True),
        ("coll\u2019arco", ("coll'arco",), True),
        ("Bartók\u2011Pizz.", ("Bartók-Pizz.",), True),  # U+2011, a hyphen that does not break
        ("s. p.", ("s.p.",), True),
        ("S.P.", ("s.p.",), True),
        ("m.D.", ("m. D.",), True),
        ("sp", ("s.p.",), False),
        ("sul  pont.", ("sul pont.",), True),
        ("p", ("p",), True),
        ("pp", ("p",), False),
        ("ff", ("f",), False),
        ("saz t\u0131n\u0131s\u0131", ("SAZ TINISI",), True),
        ("", ("pizz.",), False),
        ("pizz.", (), False),
        ("pizz.", ("", "."), False),
    ],
)
def test_whole_words_case_accents_and_stops(text: str, words: tuple[str, ...], expected: bool) -> None:
    assert says(text, words) is expected


# Scripts written without blanks between words: Han, kana, Thai (Unicode Standard Annex 29, Word Boundaries: such scripts need
# a dictionary); Korean writes particles onto the word; Arabic writes "and", "in", "for", "the" onto it.
@pytest.mark.parametrize(
    ("text", "words", "expected"),
    [
        ("弱音器をつけて", ("弱音器",), True),
        ("ここから弱音器", ("弱音器",), True),
        ("加弱音器演奏", ("加弱音器",), True),
        ("ﾋﾟﾁｶｰﾄ", ("ピチカート",), True),  # half width
        ("ピチカート", ("ヒチカート",), False),  # the sound mark counts
        ("arcoに戻る", ("arco",), True),  # a Latin word ends where another script begins
        ("弱音器con sord.", ("con sord.",), True),
        ("약음기를 끼고", ("약음기",), True),
        ("كونشرتو", ("كونشرتو",), True),
        ("(كونشرتو)", ("كونشرتو",), True),
        ("للكونشرتو", ("كونشرتو",), True),
        ("والقوس", ("قوس",), True),
        ("بالقَوْس", ("قوس",), True),  # with vowel signs
        ("قوسين", ("قوس",), False),  # another word
        ("مقوس", ("قوس",), False),
        ("نقر بالإصبع", ("بالاصبع",), True),  # hamza
        ("پیتزیکاتو", ("پيتزيكاتو",), True),  # Persian and Arabic yeh and kaf
        ("пиццикато", ("ПИЦЦИКАТО",), True),
    ],
)
def test_native_script_words(text: str, words: tuple[str, ...], expected: bool) -> None:
    assert says(text, words) is expected


def test_folded_text_is_stable() -> None:
    assert folded(folded("Bartók\u2011Pizz. (MIT DÄMPFER)")) == folded("bartok-pizz. (mit dampfer)")


def test_mentions_are_the_directions_themselves() -> None:
    directions = said("pizz.", "espr.", "molto pizz.")
    assert mentions(directions, ("pizz.",)) == (directions[0], directions[2])


def test_from_pizz_to_arco() -> None:
    assert told("pizz.", "arco") == {("pizzicato", 0, 1), ("arco", 1, None)}


def test_a_reminder_opens_nothing() -> None:
    assert told("pizz.", "(pizz.)", "pizz. sempre", "arco", vocabulary=(PIZZ,)) == {("pizzicato", 0, 3)}


def test_without_an_end_it_stays_in_force() -> None:
    (span,) = spans(said("con sord."), (MUTE,))
    assert (span.end, span.ends) == (None, None)
    assert span.covers(10**9, 1)
    assert not span.covers(-1, 1)


def test_mutes_on_and_off_and_on() -> None:
    assert told("con sord.", "senza sord.", "sord.", vocabulary=(MUTE,)) == {("mute", 0, 1), ("mute", 2, None)}


# The word for "without" holds the word for "with": the longer phrase is meant.
@pytest.mark.parametrize("off", ["senza sord.", "via sord.", "弱音器なし"])
def test_a_phrase_that_contains_another(off: str) -> None:
    assert told("con sord.", off, vocabulary=(MUTE,)) == {("mute", 0, 1)}
    assert told(off, vocabulary=(MUTE,)) == set()


def test_a_phrase_that_contains_its_own_end() -> None:
    assert told("non vib.", "vib.", vocabulary=(STILL,)) == {("non-vibrato", 0, 1)}


def test_ord_and_nat_end_the_place_on_the_string() -> None:
    assert told("sul pont.", "ord.", vocabulary=(PONT,)) == {("ponticello", 0, 1)}
    assert told("sul pont.", "nat.", vocabulary=(PONT,)) == {("ponticello", 0, 1)}
    assert told("sul pont.", "sul tasto", vocabulary=(PONT,)) == {("ponticello", 0, 1)}


def test_one_text_ends_one_technique_and_begins_another() -> None:
    assert told("pizz.", "arco, con sord.", vocabulary=(PIZZ, MUTE)) == {("pizzicato", 0, 1), ("mute", 1, None)}


# In a text that goes from one to the other, the last word holds.
def test_from_one_to_the_other_in_one_text() -> None:
    assert told("ord. → sul pont.", vocabulary=(PONT,)) == {("ponticello", 0, None)}
    assert told("sul pont.", "sul pont. → ord.", vocabulary=(PONT,)) == {("ponticello", 0, 1)}


# Alternatives: which one holds is not said, so none is taken to be in force.
@pytest.mark.parametrize("either", ["pizz./arco", "arco / pizz.", "pizz. or arco", "arco oder pizz."])
def test_alternatives_leave_none_in_force(either: str) -> None:
    assert told("pizz.", either) == {("pizzicato", 0, 1)}


def test_a_longer_word_of_another_technique_is_that_one() -> None:
    assert told("l.h. pizz.") == set()
    assert told("l.h. pizz. e pizz.", vocabulary=(PIZZ, LEFT)) == {("pizzicato", 0, None)}


def test_directions_of_one_staff_hold_there() -> None:
    (first,) = spans(said(("pizz.", 1), ("arco", 2)), (PIZZ,))
    assert (first.staff, first.end) == (1, None)
    assert first.covers(1, 1)
    assert not first.covers(1, 2)
    assert told(("pizz.", 1), ("arco", 1), vocabulary=(PIZZ,)) == {("pizzicato", 0, 1)}
    assert told(("pizz.", 1), ("pizz.", 2), vocabulary=(PIZZ,)) == {("pizzicato", 0, None), ("pizzicato", 1, None)}


def test_a_direction_without_staff_ends_all_and_reminds_any() -> None:
    assert told(("pizz.", 1), "arco", vocabulary=(PIZZ,)) == {("pizzicato", 0, 1)}
    assert told("pizz.", ("arco", 1), vocabulary=(PIZZ,)) == {("pizzicato", 0, 1)}
    assert told(("pizz.", 1), "pizz.", vocabulary=(PIZZ,)) == {("pizzicato", 0, None)}


def test_prose_begins_nothing() -> None:
    prose = "In this movement all notes with a cross are to be played pizz. with the thumb, the others as players like best."
    assert told(prose, vocabulary=(PIZZ,)) == set()


def test_spans_come_in_order_of_their_start() -> None:
    starts = [span.start for span in spans(said("con sord.", "pizz.", "arco", "senza sord.", "pizz."), ALL)]
    assert starts == sorted(starts)


def test_techniques_that_do_not_last_have_no_spans() -> None:
    assert told("l.h. pizz.", vocabulary=(LEFT,)) == set()
