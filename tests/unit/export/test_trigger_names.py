"""The writer's list of triggers.

Checked against: MIDI note 60 is middle C (MIDI 1.0 specification); manuals of sequencers call it C3, C4 or C5, so C0 is 24, 12
or 0 (arithmetic).
"""

from __future__ import annotations

import pytest

from xmlcheck_export.trigger_names import Named, Unclear, parse


@pytest.mark.parametrize(("middle", "number"), [("C3", 24), ("C4", 12), ("C5", 0), ("c4", 12)])
def test_octaves_by_what_middle_c_is_called(middle: str, number: int) -> None:
    assert parse("C0=pizz, C#0=arco", middle) == (Named(number, "pizz"), Named(number + 1, "arco"))


def test_numbers_need_no_octave_names() -> None:
    assert parse("24=pizz,26 = con sord.") == (Named(24, "pizz"), Named(26, "con sord."))


def test_flats_and_negative_octaves() -> None:
    assert parse("Bb-1=trem", "C3") == (Named(22, "trem"),)


def test_lists_for_several_parts() -> None:
    text = "Violin 1: C0=pizz; P3: 24=trem; 25=all"
    assert parse(text, "C3", "P1", "Violin 1") == (Named(24, "pizz"), Named(25, "all"))
    assert parse(text, "C3", "P3", "Cello") == (Named(24, "trem"), Named(25, "all"))
    assert parse("", "C3") == ()


@pytest.mark.parametrize("text", ["C0=pizz", "24", "24=", "H0=pizz", "200=pizz", "C-9=pizz"])
def test_what_is_unclear_is_said(text: str) -> None:
    with pytest.raises(Unclear):
        parse(text, "" if text == "C0=pizz" else "C4")
