"""Chords that are published as playable are accepted, chords that cannot be are refused.

Sources, beside each check: violin and cello double stops of two teaching pages and an encyclopaedia article; open chords and barre
chords of the guitar (common practice, no source); every fingering that the general-purpose library mingus (B. Spaans; a test-only
package) finds within four frets; a published table of guitar chords (package chords-db, MIT), where it is installed.
"""

from __future__ import annotations

import itertools
import json
from functools import cache
from pathlib import Path

import pytest

from xmlcheck.pitch import parse
from xmlcheck.registry import discover
from xmlcheck_strings.board import Board
from xmlcheck_strings.facets import Fingerboard, Hand, Strings
from xmlcheck_strings.shapes import Shape, best
from xmlcheck_strings.stringing import board

TABLE = Path(__file__).parents[2] / "node_modules" / "@tombatossals" / "chords-db" / "lib" / "guitar.json"


@cache
def neck(profile: str) -> Board:
    found = discover().profile(profile)
    strings = found.get(Strings)
    assert strings is not None
    return board(strings, found.get(Fingerboard), found.get(Hand), [course.pitch for course in strings.courses])


def played(profile: str, names: str, bowed: bool = False) -> Shape | None:
    return best(neck(profile), sorted(parse(name).cents for name in names.split()), bowed)


def fits(profile: str, names: str, bowed: bool = False) -> bool:
    shape = played(profile, names, bowed)
    return shape is not None and shape.fits


# Violin bow technique, Introduction to chords and double stops (violinbowtechnique.com): thirds, fourths, sixths and octaves are
# standard hand shapes; Forsyth, Orchestration (1914), p. 317: sixths, thirds and fourths from a semitone above the open string up.
@pytest.mark.parametrize("semitones", [3, 4, 5, 6, 8, 9, 12])
def test_violin_hand_shapes_in_all_positions(semitones: int) -> None:
    violin, lowest = neck("violin"), parse("Ab3").cents if semitones > 5 else parse("B3").cents
    refused = [
        low
        for low in range(lowest, parse("B5").cents, 100)
        if low + 100 * semitones >= violin.open[1] and not fitted(violin, (low, low + 100 * semitones))
    ]
    assert refused == []


def fitted(on: Board, pitches: tuple[int, ...]) -> bool:
    shape = best(on, pitches, True)
    return shape is not None and shape.fits


# Craig Hultgren, Double stops (lunanova.org): an open string leaves the hand free for any stop on a neighbouring string.
@pytest.mark.parametrize("profile", ["violin", "viola", "cello"])
def test_any_stop_beside_an_open_string(profile: str) -> None:
    on = neck(profile)
    for low, high in itertools.pairwise(on.open):
        for stop in range(1, 20):
            assert fitted(on, (low, high + 100 * stop))
            assert fitted(on, tuple(sorted((high, low + 100 * stop)))) or stop == (high - low) // 100


# Double stop, encyclopaedia article (wikiwand.com/en/Double_stop), examples: Bréval, Sonata in C for cello, opening; Mozart, Eine
# kleine Nachtmusik, opening. Bach, Sonata BWV 1001, opening chord, and Partita BWV 1004, opening of the chaconne (from memory).
@pytest.mark.parametrize(
    ("profile", "names"),
    [
        ("cello", "G2 E3 C4"),
        ("cello", "G2 D3 B3"),
        ("cello", "C2 G2 E3 C4"),
        ("violin", "D4 B4 G5"),
        ("violin", "G3 D4 Bb4 G5"),
        ("violin", "D4 A4 F5"),
    ],
)
def test_chords_of_the_repertoire(profile: str, names: str) -> None:
    assert fits(profile, names, bowed=True)


@pytest.mark.parametrize("profile", ["violin", "viola", "cello", "double-bass"])
def test_two_notes_below_the_second_string_have_one_string(profile: str) -> None:
    """Every pair below the second open string lies on the lowest string alone (tuning; arithmetic)."""
    on = neck(profile)
    below = range(on.open[0], on.open[1], 100)
    assert all(best(on, pair) is None for pair in itertools.combinations(below, 2))


@pytest.mark.parametrize(
    ("profile", "names"),
    [
        ("violin", "Ab3 E5"),  # 162 mm apart on neighbouring strings
        ("violin", "Bb3 F#5"),
        ("viola", "Db3 B4"),
        ("cello", "C#2 D#3"),  # 217 mm; Cellofun: a fourth is strained
        ("double-bass", "F1 E2"),  # 290 mm
    ],
)
def test_too_wide_for_neighbouring_strings(profile: str, names: str) -> None:
    shape = played(profile, names, bowed=True)
    assert shape is not None
    assert shape.wide


# Chords that guitar methods begin with (common practice, no source): frets from the sixth string on, x is not played.
SHAPES = """
x32010 C   x02220 A   320003 G   022100 E   xx0232 D   133211 F   x02210 Am  022000 Em  xx0231 Dm  x24442 B   x24432 Bm
244322 F#m 355433 Gm  x35553 C(3)  x32310 C7  x02020 A7  320001 G7  020100 E7  xx0212 D7  x21202 B7  131211 F7  x02010 Am7
022030 Em7 xx0211 Dm7 x32000 Cmaj7 xx0222 Dmaj7 x02120 Amaj7 320002 Gmaj7 xx3210 Fmaj7 x13331 Bb  x46664 C#  466544 G#
xx0233 Dsus4 x02230 Asus4 022200 Esus4 xx1212 dim7 x32030 Cadd9
"""


@pytest.mark.parametrize("shape", SHAPES.split()[::2])
def test_guitar_chords_of_every_method(shape: str) -> None:
    guitar = neck("guitar-classical")
    pitches = sorted({guitar.open[n] + 100 * int(fret) for n, fret in enumerate(shape) if fret != "x"})
    found = best(guitar, pitches)
    assert found is not None
    assert found.fits


@pytest.mark.parametrize("names", ["E2 F2", "E2 G2", "F2 G#2 E3", "F2 B2 G3 D4 F4 C5"])
def test_guitar_chords_that_cannot_be(names: str) -> None:
    """Two notes of the sixth string alone; stops from the first fret to the eighth."""
    assert not fits("guitar-classical", names)


def test_every_fingering_of_the_library_mingus() -> None:
    tunings = pytest.importorskip("mingus.extra.tunings")
    chords = pytest.importorskip("mingus.core.chords")
    tuning, guitar = tunings.get_tuning("Guitar", "Standard", 6, 1), neck("guitar-classical")
    tried = 0
    for root, kind in itertools.product(["C", "D", "Eb", "F#", "A", "B"], ("", "m", "7", "M7", "dim", "6", "9")):
        for frets in tuning.find_chord_fingering(chords.from_shorthand(root + kind)):
            places = [(n, fret) for n, fret in enumerate(frets) if fret is not None]
            if max(fret for _, fret in places) > guitar.neck.tops[0]:
                continue
            tried += 1
            shape = best(guitar, sorted({guitar.open[n] + 100 * fret for n, fret in places}))
            assert shape is not None, frets
            assert shape.fits, frets
    assert tried > 1000


@pytest.mark.skipif(not TABLE.is_file(), reason="npm install --no-save @tombatossals/chords-db@0.5.1")
def test_a_published_table_of_guitar_chords() -> None:
    """2,069 fingerings. One is refused: C9 in the seventh position, which lays a finger across a string stopped one fret lower."""
    guitar, refused, tried = neck("guitar-classical"), [], 0
    for key, chords in json.loads(TABLE.read_text(encoding="utf-8"))["chords"].items():
        for suffix, position in ((item["suffix"], position) for item in chords for position in item["positions"]):
            frets = [(n, fret and fret + position["baseFret"] - 1) for n, fret in enumerate(position["frets"]) if fret >= 0]
            tried += 1
            shape = best(guitar, sorted({guitar.open[n] + 100 * fret for n, fret in frets}))
            if shape is None or not shape.fits:
                refused.append((key, suffix, position["frets"]))
    assert tried == 2069
    assert refused == [("C", "9", [2, 4, 2, 1, 2, 4])]
