"""Partials and positions, against the arithmetic of the harmonic series and the published gap of the trombone."""

from __future__ import annotations

from math import log2

import pytest

from xmlcheck.cited import Cited
from xmlcheck.finding import Certainty
from xmlcheck.pitch import parse
from xmlcheck_brass.facets import Brass, Side
from xmlcheck_brass.tubes import attached, semitones, shared, spots


def brass(kind: str, *sides: Side) -> Brass:
    return Brass(Cited(kind, ("S150",), Certainty.DOCUMENTED), sides)


PLAIN = Side("b-flat", "B flat", parse("Bb1"), 6, lowest_partial=1, highest_partial=12)
VALVE = Side("f", "F", parse("F1"), 5, optional=True)
TROMBONE, WITH = brass("slide", PLAIN), brass("slide", PLAIN, VALVE)


@pytest.mark.parametrize("partial", range(1, 17))
def test_partials_are_multiples_of_the_fundamental(partial: int) -> None:
    assert semitones(partial) == pytest.approx(12 * log2(partial))


def names(low: str, high: str) -> list[str]:
    bottom, top = parse(low), parse(high)
    return [bottom.moved(n).name for n in range((top.cents - bottom.cents) // 100 + 1)]


def test_the_gap_of_the_trombone() -> None:
    """Trombone, encyclopaedia article: pedal notes E1 to B flat 1, then nothing up to E2; with an F attachment C2 to E flat 2 as
    well, low B not assured."""
    missing = [name for name in names("E1", "Bb4") if not spots(TROMBONE, parse(name).cents)]
    assert [parse(name).cents for name in missing] == [parse(name).cents for name in ("B1", "C2", "C#2", "D2", "Eb2")]
    assert [name for name in names("E1", "Bb4") if not spots(WITH, parse(name).cents)] == ["B1"]
    assert attached(WITH, parse("D2").cents)
    assert not attached(WITH, parse("E2").cents)


@pytest.mark.parametrize(
    ("pitch", "position"),
    [("Bb2", 1), ("A2", 2), ("Ab2", 3), ("G2", 4), ("Gb2", 5), ("F2", 6), ("E2", 7), ("F3", 1), ("B2", 7)],
)
def test_positions_of_the_low_register(pitch: str, position: int) -> None:
    """Slide positions of the second and third partial: every trombone method (common practice, no source)."""
    assert position in {round(spot.added) + 1 for spot in spots(TROMBONE, parse(pitch).cents)}


@pytest.mark.parametrize(("low", "high"), [("E2", "Bb2"), ("B2", "F3"), ("E3", "Bb3"), ("Ab3", "D4"), ("B3", "F4")])
def test_a_tritone_under_each_open_partial_is_one_slide(low: str, high: str) -> None:
    """Trombone glissando guides (S151; sheet on scribd.com no. 294550840): seven positions within a single partial."""
    assert shared(TROMBONE, parse(low).cents, parse(high).cents)


@pytest.mark.parametrize(("low", "high"), [("E2", "B2"), ("Bb2", "F3"), ("F2", "D3"), ("E2", "E3"), ("Bb2", "C3")])
def test_over_two_partials_it_breaks(low: str, high: str) -> None:
    assert not shared(TROMBONE, parse(low).cents, parse(high).cents)


def test_three_valves_fill_every_gap_from_the_second_partial_up() -> None:
    """Pitch of brass instruments, encyclopaedia text: the formal range begins a tritone under the second partial."""
    trumpet = brass("valves", Side("b-flat", "B flat", parse("Bb2"), 6))
    assert [name for name in names("E3", "Bb5") if not spots(trumpet, parse(name).cents)] == []
    assert not spots(trumpet, parse("Eb3").cents)


def test_a_natural_tube_has_its_partials_alone() -> None:
    natural = brass("natural", Side("c", "C", parse("C2"), 0))
    had = [name for name in names("C3", "C6") if spots(natural, parse(name).cents)]
    assert had[:9] == ["C3", "G3", "C4", "E4", "G4", "Bb4", "C5", "D5", "E5"]
