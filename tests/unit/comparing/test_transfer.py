"""What a round trip lost, and whether the notes of a sketch arrived."""

from __future__ import annotations

from dataclasses import replace

import pytest

import xmlcheck
from tests.conftest import MakeFinding, MakeReport
from xmlcheck.comparing import account_for
from xmlcheck.comparing.transfer import spoilt
from xmlcheck.finding import NoteName, Plan
from xmlcheck.testing.mini import Part, score

OLD = '"sul pont." C4.q!staccato D4!up-bow E4 F4 | <mf> G4.h!trill-mark A4 | transpose=-2/-1 B4.w'


def lost(new: str) -> dict[str, tuple[str, ...]]:
    found = xmlcheck.compare(score(OLD), score(new), round_trip=True).transfer
    assert found is not None
    return {loss.group: loss.told for loss in found.losses}


@pytest.mark.parametrize(("group", "new", "told"), [
    ("techniques", OLD.replace("!up-bow", ""), "technique: up bow is gone"),
    ("techniques", OLD.replace("!trill-mark", ""), "ornament: trill mark is gone"),
    ("dynamics", OLD.replace("<mf> ", ""), "dynamic: mf is gone"),
    ("words", OLD.replace('"sul pont." ', ""), '"sul pont." is gone'),
    ("notes", OLD.replace("E4 ", "r "), "E4, quarter is gone"),
    ("pitch", OLD.replace("E4 ", "E5 "), "E4 is now E5"),
    ("rhythm", OLD.replace("<mf>", "<mf> meter=4/4 tempo=60"), "tempo 60 is new"),
])  # fmt: skip
def test_losses_by_what_a_player_would_miss(group: str, new: str, told: str) -> None:
    found = lost(new)
    assert set(found) == {group}
    assert told in found[group]


def test_transposition_lost() -> None:
    assert set(lost(OLD.replace("transpose=-2/-1 ", ""))) == {"transposition"}


def test_elements_that_became_fewer() -> None:
    found = xmlcheck.compare(score(OLD), score(OLD.replace("!up-bow", "")), round_trip=True).transfer
    assert found is not None
    assert ("up-bow", 1, 0) in {(one.element, one.old, one.new) for one in found.elements}


def test_own_marks_are_no_loss_even_after_another_program_had_them() -> None:
    """The instructions around a mark are gone and only its words are left: a program that re-saved the file did that."""
    resaved = OLD.replace("E4 ", '"[check 3] below compass: E4" E4 ')
    comparison = xmlcheck.compare(score(resaved), score(OLD), round_trip=True)
    assert comparison.same
    assert comparison.transfer is not None
    assert comparison.transfer.elements == ()


@pytest.mark.parametrize(("was", "now", "fault"), [
    ("Più mosso, però", "Pi? mosso, per?", "characters"),
    ("尺八", "□□", "characters"),
    ("尺八 solo", " solo", "characters"),
    ("\u0639\u0648\u062f", "\u062f\u0648\u0639", "direction of writing"),
    ("Allegro", "Adagio", ""),
    ("What now?", "What now??", ""),
])  # fmt: skip
def test_lost_characters(was: str, now: str, fault: str) -> None:
    """The signs for a character that cannot be shown: U+FFFD, U+25A1, and the question mark of a codec that replaces. An Arabic
    word (the name of the oud) whose letters came back in the reverse order."""
    assert spoilt(was, now) == fault


SKETCH = [Part("C4.q D4 E4 F4 | G4.w", name="Strings"), Part("A2.w | B2", name="Low")]


def test_redistribution_is_no_fault() -> None:
    made = [Part("C4.q r E4 r | G4.w", name="Violin"), Part("r D4.q r F4 | R", name="Viola"), Part("A2.w | B2", name="Cello")]
    found = account_for(score(SKETCH), score(made)).account
    assert found is not None
    assert found.complete
    assert (found.notes, found.found, found.left_out) == (7, 7, 0)


def test_octaves_are_told_and_notes_left_out() -> None:
    made = [Part("C4.q D5 r F4 | G4.w", name="Violin"), Part("A2.w | B2", name="Cello")]
    found = account_for(score(SKETCH), score(made)).account
    assert found is not None
    assert not found.complete
    assert {(entry.sounding, entry.fate, entry.octaves) for entry in found.entries} == {
        ("D4", "octave", 1),
        ("E4", "left out", 0),
    }


def test_doublings_and_what_was_added() -> None:
    made = [*SKETCH, Part("C5.q D5 E5 F5 | G5.w", name="Flute"), Part("r.h. B5.q | R", name="Bell")]
    found = account_for(score(SKETCH), score(made)).account
    assert found is not None
    assert (found.doubled, found.added, found.complete) == (5, 1, True)


def test_a_whole_cue_transposed_is_told_once() -> None:
    made = [Part("D4.q E4 F#4 G4 | A4.w", name="Violin"), Part("B2.w | C#3", name="Cello")]
    found = account_for(score(SKETCH), score(made)).account
    assert found is not None
    assert (found.cents, found.found, found.told) == (200, 7, "the whole cue was moved up a tone")


def test_a_note_that_moved_in_time() -> None:
    made = [Part("C4.q D4 F4 E4 | G4.w", name="Violin"), Part("A2.w | B2", name="Cello")]
    found = account_for(score(SKETCH), score(made)).account
    assert found is not None
    assert (found.moved, found.left_out) == (2, 0)


def test_trigger_notes_must_not_arrive(make_finding: MakeFinding, make_report: MakeReport) -> None:
    """Notes that switch a sampled patch are no music: the trigger plan of the sketch's report names them."""
    sketch = score([Part("[C1 C4].q D4 E4 F4 | G4.w", name="Strings")])
    finding = replace(make_finding(1, None), part="P1", plan="t", notes=(NoteName("C1", "C1"),))
    report = make_report(sketch, [finding], plans=(Plan("t", "triggers", "P1", ()),))
    clean = account_for(sketch, score("C4.q D4 E4 F4 | G4.w"), report=report).account
    assert clean is not None
    assert (clean.notes, clean.complete) == (5, True)
    arrived = account_for(sketch, sketch, report=report).account
    assert arrived is not None
    assert [entry.sounding for entry in arrived.triggers] == ["C1"]
    assert not arrived.complete
