"""Bars as wholes, and parts as wholes."""

from __future__ import annotations

import pytest

import xmlcheck
from xmlcheck.comparing.numbering import numbers
from xmlcheck.testing.mini import Part, score

TUNE = "C4.q D4 E4 F4 | G4.h A4 | B4.w | C5.q B4 A4 G4 | D4.q E4 F4 D4 | F5.w"
BARS = TUNE.split(" | ")


def kinds(old: bytes, new: bytes) -> list[tuple[str, str | None]]:
    return [(change.kind, change.part) for change in xmlcheck.compare(old, new).changes]


def piece(*bars: str) -> bytes:
    return score(" | ".join(bars))


def test_a_bar_put_in() -> None:
    """A B C D against A X B C' D, where C' differs in one note: X is put in, C changed."""
    a, b, c, d = "C4.q D4 E4 F4", "G4.h A4", "B4.q C5 D5 E5", "F5.w"
    found = xmlcheck.compare(piece(a, b, c, d), piece(a, "A5.h B5", b, "B4.q C5 D5 C5", d)).changes
    assert [change.kind for change in found] == ["bars-inserted", "pitch"]
    assert found[0].values["numbers"] == ["1A"]
    assert found[1].old is not None
    assert found[1].new is not None
    assert (found[1].old.bar, found[1].new.bar) == ("3", "4")


@pytest.mark.parametrize(("kind", "new"), [
    ("bars-deleted", [0, 1, 3, 4, 5]),
    ("bars-moved", [0, 3, 4, 1, 2, 5]),
    ("bars-repeated", [0, 1, 2, 1, 2, 3, 4, 5]),
])  # fmt: skip
def test_bars_cut_moved_and_repeated(kind: str, new: list[int]) -> None:
    assert kinds(piece(*BARS), piece(*(BARS[n] for n in new))) == [(kind, None)]


def test_a_bar_that_moved_and_was_changed_is_still_that_bar() -> None:
    found = xmlcheck.compare(piece(*BARS), piece(*(BARS[n] for n in (0, 2)), "C5.q B4 A4 E4", BARS[1], *BARS[4:])).changes
    assert sorted(change.kind for change in found) == ["bars-moved", "pitch"]


def test_a_bar_divided_and_bars_joined() -> None:
    whole = "C4.q D4 E4 F4 | G4 A4 B4 C5 | D5.w"
    halves = "C4.q D4 E4 F4 | meter=2/4 G4 A4 | B4 C5 | meter=4/4 D5.w"
    assert kinds(score(whole), score(halves)) == [("bars-split", None)]
    assert kinds(score(halves), score(whole)) == [("bars-joined", None)]


def test_barred_otherwise() -> None:
    """The same tones in 4/4 and in 3/4; a tie at the new barline is no change of the sound."""
    found = xmlcheck.compare(
        score("C4.q D4 E4 F4 | G4 A4 B4 C5 | D5.h C5"), score("meter=3/4 C4.q D4 E4 | F4 G4 A4 | B4 C5 D5~ | D5 C5.h")
    ).changes
    assert [change.kind for change in found] == ["rebarred", "tied-otherwise"]


def test_one_part_alone_out_of_step() -> None:
    """Bars are aligned over all parts, but a part whose music moved against the others is told as that."""
    flute = [f"{note}.q {note} {note} G5" for note in ("C5", "D5", "E5", "F5", "G5", "A5", "B5", "C6")]
    drone = [f"{note}.w" for note in ("C3", "D3", "E3", "F3", "G3", "A3", "B3", "C4")]
    old = score([Part(" | ".join(flute), name="Flute"), Part(" | ".join(drone), name="Drone")])
    late = [*flute[:2], "R", *flute[2:7]]
    new = score([Part(" | ".join(late), name="Flute"), Part(" | ".join(drone), name="Drone")])
    assert kinds(old, new) == [("bars-inserted", "P1"), ("bars-deleted", "P1")]


@pytest.mark.parametrize(("after", "count", "expected"), [
    ("12", 2, ("12A", "12B")), ("12A", 1, ("12B",)), (None, 1, ("0A",)), ("7", 1, ("7B",)), ("X1", 1, ("X1A",)),
])  # fmt: skip
def test_numbers_of_new_bars(after: str | None, count: int, expected: tuple[str, ...]) -> None:
    """Common practice, no source: the number before and a letter; a number that a bar already has is passed over."""
    assert numbers(after, count, frozenset({"7A"})) == expected


def three(*names: str) -> bytes:
    music = {
        "A": Part("C4.q D4 E4 F4 | G4.w | A4.h B4", name="Alto"),
        "B": Part("C3.w | D3.h E3 | F3.q G3 A3 B3", name="Bass"),
        "C": Part("E5.e F5 G5 A5 B5.h | C6.w | B5.q A5 G5 F5", name="Cantus"),
        "c": Part("E5.e F5 G5 A5 B5.h | C6.w | B5.q A5 G5 F5", name="Discantus"),
    }
    return score([music[name] for name in names])


def test_a_part_that_was_moved_and_one_that_was_renamed() -> None:
    assert kinds(three("A", "B", "C"), three("C", "A", "B"))[0][0] == "part-moved"
    assert len(kinds(three("A", "B", "C"), three("C", "A", "B"))) == 1
    assert kinds(three("A", "B", "C"), three("A", "B", "c")) == [("part-renamed", "P3"), ("instrument", "P3")]


def test_parts_that_came_and_went() -> None:
    assert kinds(three("A", "B"), three("A", "B", "C")) == [("part-added", "P3")]
    assert kinds(three("A", "C", "B"), three("A", "B")) == [("part-removed", "P2")]


def test_a_part_out_of_a_score() -> None:
    """Score against one of its parts: the other parts are gone, the one that is there is the same."""
    found = xmlcheck.compare(three("A", "B", "C"), three("B"))
    assert [change.kind for change in found.changes] == ["part-removed", "part-removed"]
    assert {match.old_name for match in found.parts if match.new is not None} == {"Bass"}


def test_meter_in_all_parts_is_told_once() -> None:
    old = score([Part("C4.w | D4 | E4"), Part("C3.w | D3 | E3")])
    new = score([Part("meter=2/2 C4.w | D4 | E4"), Part("meter=2/2 C3.w | D3 | E3")])
    assert kinds(old, new) == [("meter", None)]
