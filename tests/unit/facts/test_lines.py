"""Lines and silences. Silence is where the player is free, so all that is played ends it, also what has no exact pitch."""

from __future__ import annotations

import pytest

from xmlcheck.chairs import seats
from xmlcheck.document import parse
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import score


def chair(notation: str) -> Chair:
    whole = read(parse(from_bytes(score(notation), "test.musicxml")))
    return Chair(seats(whole.parts[0], lambda text: False)[0], ScoreFacts(whole))


def quarters(notation: str) -> list[tuple[float, float]]:
    one = chair(notation)
    unit = one.facts.score.resolution
    return [(start / unit, end / unit) for start, end in one.silences]


def test_silences_before_between_and_after() -> None:
    assert quarters("r.q C4.h r.q | R | D4.w | R") == [(0, 1), (3, 8), (12, 16)]


def test_voices_fill_each_others_rests() -> None:
    assert quarters("V1: C4.h r.h V2: r.h E4.h") == []


def test_held_notes_and_ties_are_no_silence() -> None:
    assert quarters("C4.6q r.h") == [(6, 8)]


# Cue notes are silent (MusicXML 4.0, element cue) and hidden ones unseen; slash, x and unpitched notes are played.
@pytest.mark.parametrize(("middle", "free"), [("{cue D4.w}", True), ("{hidden D4.w}", True), ("D4.w!head=slash", False),
                                              ("D4.w!head=x", False), ("X.w", False), ("D4.w!size=cue", False)])  # fmt: skip
def test_what_is_played_ends_a_silence(middle: str, free: bool) -> None:
    assert quarters(f"C4.w {middle} E4.w") == ([(4, 8)] if free else [])


def test_lines_are_voices() -> None:
    upper, lower = chair("V1: C5.h D5 V2: E4.w").lines
    assert [tone.sounding.name for tone in upper] == ["C5", "D5"]
    assert [tone.sounding.name for tone in lower] == ["E4"]


def test_a_voice_keeps_its_line_when_it_changes_staff() -> None:
    (line,) = chair("C5.h S2: C3.h").lines
    assert [tone.staff for tone in line] == [1, 2]


# Voice numbers may be used again on each staff of a part (seen in real files): then a staff has lines of its own.
def test_a_voice_number_used_on_two_staves_at_once_is_two_lines() -> None:
    text = score("V1: C5.h D5 V2: S2: E3.w").replace(b"<voice>2</voice>", b"<voice>1</voice>")
    whole = read(parse(from_bytes(text, "test.musicxml")))
    one = Chair(seats(whole.parts[0], lambda name: False)[0], ScoreFacts(whole))
    assert sorted([tone.sounding.name for tone in line] for line in one.lines) == [["C5", "D5"], ["E3"]]
