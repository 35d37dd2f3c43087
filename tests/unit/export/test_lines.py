"""Ends of lines without a partner, printed readings and jumps, on bars written for the purpose.

Checked against: MusicXML 4.0, number-level (one number a line that is open), elements repeat and ending, accidental and alter.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from xmlcheck.document import parse
from xmlcheck.model import Part
from xmlcheck.reader import read
from xmlcheck.source import from_bytes
from xmlcheck.testing import score
from xmlcheck_export.jumps import Jumps
from xmlcheck_export.printed import key_alters, readings
from xmlcheck_export.spanners import LINES, TUPLETS, ends, unmatched


def part(notes: str) -> Part:
    return read(parse(from_bytes(score(notes), "test"))).parts[0]


def lone(notes: str) -> list[tuple[str, bool, int]]:
    own = part(notes)
    return [(end.kind, end.starts, end.at.measure) for end in unmatched(ends(own, LINES | TUPLETS))]


@pytest.mark.parametrize(
    ("notes", "expected"),
    [
        ("C5.q!slur=start D5 E5!slur=stop F5", []),
        ("C5.q!slur=start D5 E5 F5 | C5.q!slur=start D5!slur=stop E5.h", [("slur", True, 0)]),
        ("C5.q!slur=start D5!slur=stop E5.h | C5.q D5!slur=stop E5.h", [("slur", False, 1)]),
        ("C5.q!slur=start!slur=start/2 D5 E5!slur=stop/2 F5!slur=stop", []),
        ("V1: C5.q!slur=start D5 E5 F5!slur=stop V2: A4.h!slur=start G4!slur=stop", []),
        ("<cresc> C5.h D5 <end> <dim> | C5.w <end>", []),
        ("<cresc> C5.h D5 | <cresc> C5.h D5 <end>", [("wedge", True, 0)]),
        ("C5.w!wavy-line=start!wavy-line=stop", []),
    ],
)
def test_lone_ends(notes: str, expected: list[tuple[str, bool, int]]) -> None:
    assert lone(notes) == expected


def test_grace_note_under_its_own_slur() -> None:
    assert lone("'C5!slur=start D5.w!slur=stop") == []


def shown(notes: str) -> list[str]:
    own = part(notes)
    return [f"{item.note.written}:{item.shown}" for item in readings(own, own.notes)]


def test_signs_hold_to_the_end_of_the_bar() -> None:
    assert shown("F#4.q!accidental=sharp F#4 F4!accidental=natural F4 | F4.w") == ["F#4:1", "F#4:1", "F4:0", "F4:0", "F4:0"]


def test_other_octaves_and_the_key() -> None:
    assert shown("key=1 F#4.q F#5 F4!accidental=natural F#5") == ["F#4:1", "F#5:1", "F4:0", "F#5:1"]


def test_tied_notes_are_not_read_again() -> None:
    assert shown("C5.h F#5!accidental=sharp~ | F#5.h F5") == ["C5:0", "F#5:1", "F5:0"]


def test_key_alterations() -> None:
    own = part("key=-3 C5.w")
    assert key_alters(own.keys[0]) == {"B": Decimal(-1), "E": Decimal(-1), "A": Decimal(-1)}
    assert key_alters(None) == {}


def test_jumps() -> None:
    own = part("|: C5.w | ending=1 D5.w ending=stop :| ending=2 E5.w ending=stop | F5.w")
    jumps = Jumps(own)
    assert [jumps.leaves(bar) for bar in range(4)] == [True, True, True, False]
    assert [jumps.arrives(bar) for bar in range(4)] == [True, True, True, True]
    assert not Jumps(part("C5.w | D5.w")).leaves(0)
