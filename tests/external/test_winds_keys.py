"""Choice of key or size: the best by brute force, and the home key of every size for a melody in it.

Brute force is written anew here from the words of the computation alone: for each size count the notes it has not got, then add
the price of each note by its class, twice where it is short. Tables of sizes: the profiles' own, checked against their sources in
test_winds_tables.py.
"""

from __future__ import annotations

import random
from functools import cache

import pytest

from tests.external.winds_planted import registry
from xmlcheck.profile import Profile
from xmlcheck_winds.choosing import Sung, ranked
from xmlcheck_winds.facets import Fingering, Size, Sizes

SIZED = ("tin-whistle", "dizi-qudi", "suona", "shakuhachi")
PRICE = {"open": 0, "forked": 1, "keyed": 1, "bent": 2, "half": 3}


@cache
def profile(name: str) -> Profile:
    return registry().profile(name)


def sizes(name: str) -> Sizes:
    found = profile(name).get(Sizes)
    assert found is not None
    return found


def fingering(name: str) -> Fingering:
    found = profile(name).get(Fingering)
    assert found is not None
    return found


def by_hand(name: str, size: Size, notes: list[Sung]) -> tuple[int, float]:
    """(notes outside, effort) of a size, semitone by semitone."""
    (table,) = [row for row in fingering(name).rows if row.again]
    gaps = {row.start + n for row in fingering(name).rows for n, kind in enumerate(row.classes) if kind == "none"}
    top = size.extreme or size.highest
    assert top is not None
    outside, effort = 0, 0.0
    for note in notes:
        step = round((note.cents - size.lowest.cents) / 100)
        if step < -size.below or note.cents > top.cents or step in gaps:
            outside += 1
            continue
        kind = "bent" if step < 0 else table.classes[step % 12]
        effort += PRICE[kind] * (2 if note.seconds < 0.2 else 1)
        if size.highest is not None and note.cents > size.highest.cents:
            effort += 1
    return outside, effort


@pytest.mark.parametrize("name", SIZED)
def test_the_choice_is_that_of_brute_force(name: str) -> None:
    """300 random melodies in all: a random key and mode or none at all, random lengths."""
    chance = random.Random(name)
    carried = sizes(name).carried
    low = min(size.lowest.cents for size in carried) // 100
    for _ in range(300 // len(SIZED)):
        home, scale = chance.randint(0, 11), chance.choice([(0, 2, 4, 5, 7, 9, 11), (0, 2, 3, 5, 7, 8, 10), tuple(range(12))])
        pitches = [n for n in range(low, low + chance.randint(15, 34)) if (n - home) % 12 in scale]
        notes = [Sung(100 * chance.choice(pitches), chance.choice([0.1, 0.25, 0.5, 1.0])) for _ in range(chance.randint(4, 40))]
        best = min(by_hand(name, size, notes) for size in carried)
        found = ranked(notes, carried, fingering(name))[0]
        assert found.cost == best == by_hand(name, found.size, notes)


def home_melody(name: str, size: Size) -> list[Sung]:
    """The home scale of a size, from its lowest note over an octave and a half, up and down."""
    found = sizes(name).home
    assert found is not None
    steps = [octave + step for octave in (0, 12) for step in found.value]
    kept = [step for step in steps if step <= 19]
    return [Sung(size.lowest.cents + 100 * step, 0.5) for step in (*kept, *reversed(kept))]


@pytest.mark.parametrize(
    ("name", "size"),
    [(name, size) for name in SIZED for size in sizes(name).carried],
    ids=lambda item: getattr(item, "id", item),
)
def test_a_melody_in_each_key_gets_that_key(name: str, size: Size) -> None:
    assert ranked(home_melody(name, size), sizes(name).carried, fingering(name))[0].size is size


@pytest.mark.parametrize(
    ("mode", "notes"),
    [
        ("D ionian", "D5 E5 F#5 G5 A5 B5 C#6 D6"),
        ("A mixolydian", "A5 B5 C#6 D6 E6 F#6 G6 A6"),
        ("E dorian", "E5 F#5 G5 A5 B5 C#6 D6 E6"),
        ("B aeolian", "B5 C#6 D6 E6 F#6 G6 A6 B6"),
        ("G ionian", "G5 A5 B5 C6 D6 E6 F#6 G6"),
        ("D mixolydian", "D5 E5 F#5 G5 A5 B5 C6 D6"),
        ("A dorian", "A5 B5 C6 D6 E6 F#6 G6 A6"),
        ("E aeolian", "E5 F#5 G5 A5 B5 C6 D6 E6"),
    ],
)
def test_the_modes_of_a_whistle_in_d(mode: str, notes: str) -> None:
    """Penny whistle, tag page of a question-and-answer site (S72 of the profile): the modes of two sharps and of one sharp lie on a
    whistle in D; C natural is a plain fork, other accidentals need half-holing."""
    from xmlcheck.pitch import parse

    whistle = next(size for size in sizes("tin-whistle").carried if size.id == "D")
    found = next(
        item
        for item in ranked(
            [Sung(parse(name).cents) for name in notes.split()], sizes("tin-whistle").carried, fingering("tin-whistle")
        )
        if item.size is whistle
    )
    counts = dict(found.counts)
    assert set(counts) <= {"open", "forked"}, mode
    assert counts.get("forked", 0) == sum(name[:-1] == "C" for name in notes.split())
