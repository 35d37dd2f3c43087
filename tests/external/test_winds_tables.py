"""Tables of all-closed notes, lengths and keys, and ranges of winds and voices, against their published sources.

Figures stand here as the sources print them; the sources' texts are named in the profiles under the same keys.
"""

from __future__ import annotations

from decimal import Decimal

import music21
import pytest

from tests.external.test_winds_keys import profile, sizes
from xmlcheck.facets import Compass, Reading
from xmlcheck.pitch import parse
from xmlcheck_brass.facets import Brass
from xmlcheck_free_reed.facets import Reeds
from xmlcheck_voice.facets import Vocal

# S65, sheet for composers, paperzz.com no. 8827773: pipe note and approximate length, 1 shaku = 30.3 cm.
SHAKUHACHI = {
    **{"1.3": ("G4", 39.4), "1.4": ("F#4", 42.4), "1.5": ("F4", 45.4), "1.6": ("E4", 48.5), "1.7": ("D#4", 51.5)},
    **{"1.8": ("D4", 54.5), "1.9": ("C#4", 57.6), "2.0": ("C4", 60.6), "2.1": ("B3", 63.6), "2.2": ("A#3", 66.7)},
    **{"2.3": ("A3", 69.7), "2.4": ("G#3", 72.7), "2.5": ("G3", 75.7), "2.7": ("F3", 81.8)},
}


def test_lengths_and_pipe_notes_of_the_shakuhachi() -> None:
    found = {size.key: (size.lowest.name, size.length_mm) for size in sizes("shakuhachi").carried}
    assert found == {key: (note, 10 * length) for key, (note, length) in SHAKUHACHI.items()}


@pytest.mark.parametrize("key", SHAKUHACHI)
def test_a_shaku_is_303_millimetres(key: str) -> None:
    """The same source gives the unit; its lengths agree with the names to a millimetre."""
    length = next(size.length_mm for size in sizes("shakuhachi").carried if size.key == key)
    assert length is not None
    assert abs(length - float(Decimal(key) * 303)) <= 1.0


# S71, encyclopaedia article: all holes closed and reliable top of the whistles most made; sounding.
WHISTLES = {"D": "D5 B6", "C": "C5 A6", "Eb": "Eb5 C7", "F": "F5 D7", "G": "G5 E7", "Bb": "Bb4 G6"}


def test_keys_of_the_whistle() -> None:
    found = {size.key: f"{size.lowest.name} {size.highest.name}" for size in sizes("tin-whistle").carried if size.highest}
    assert found == WHISTLES


# S40: a dizi in X sounds X with three holes open; all closed, a fourth under it. S41: the qudi in D has a1 (A4) with all holes
# closed. S40: two octaves and a tone; S39: two octaves and a fourth at the extreme.
@pytest.mark.parametrize(("key", "tonic"), [("Bb", "Bb4"), ("C", "C5"), ("D", "D5"), ("Eb", "Eb5"), ("E", "E5")])
def test_all_closed_of_a_dizi_is_a_fourth_under_its_name(key: str, tonic: str) -> None:
    size = next(size for size in sizes("dizi-qudi").carried if size.key == key)
    assert parse(tonic).cents - size.lowest.cents == 500
    assert size.highest is not None
    assert size.extreme is not None
    assert size.highest.cents - size.lowest.cents == 2600
    assert size.extreme.cents - size.lowest.cents == 2900


def test_the_qudi_in_d_begins_at_a1() -> None:
    assert next(size for size in sizes("dizi-qudi").carried if size.key == "D").lowest.name == "A4"


# S328, A. Kaya: each ney by the degree that sounds A = 440 Hz; written A4 is dügâh, so a length sounds as far from the writing as
# its degree lies from A. S17: the mansur's all-closed note is G.
AHENK = {"bolahenk": "D5", "davud": "C5", "sah": "B4", "mansur": "A4", "kiz": "G4", "mustahsen": "F4", "supurde": "E4"}


@pytest.mark.parametrize("name", AHENK)
def test_every_ney_lies_where_its_degree_sounds_a(name: str) -> None:
    size = next(size for size in sizes("ney-turkish").carried if size.id == name)
    moved = parse("A4").cents - parse(AHENK[name]).cents
    assert size.lowest.cents == parse("G3").cents + moved
    reading = profile("ney-turkish").get(Reading)
    assert reading is not None
    convention = next(item for item in reading.conventions if item.id == size.reading)
    assert int(convention.semitones * 100) == moved


def test_the_suona_in_d() -> None:
    """S49: A4 to B6; S17 and its neighbours: the suona in C a tone lower."""
    found = {size.key: size for size in sizes("suona").carried}
    assert [found["D"].lowest.name, str(found["D"].extreme)] == ["A4", "B6"]
    assert [found["C"].lowest.name, str(found["C"].extreme)] == ["G4", "A6"]


def test_the_reeds_of_a_sheng() -> None:
    """S54, Pat Missin: seventeen pitches of a set in D."""
    reeds = profile("sheng-17").get(Reeds)
    assert reeds is not None
    printed = ["A4", "A#4", "B4", "C5", "C#5", "D5", "D#5", "E5", "F5", "F#5", "G5", "G#5", "A5", "B5", "C#6", "D6", "E6"]
    assert [pitch.name for pitch in reeds.pitches.value] == printed
    assert len(printed) == 17


# --- ranges of the orchestra: music21 and a second table ---------------------------------------------------------------------

# instrument: music21 class; second table (Orchestra Library S135, brass: chapter on ranges S137, trombone S331), written.
ORCHESTRA = {
    "flute": ("Flute", "B3", "D7"),
    "clarinet-b-flat": ("Clarinet", "E3", "C7"),
    "horn": ("Horn", "F#3", "C6"),
    "trumpet-b-flat": ("Trumpet", "F#3", "D6"),
    "trombone-tenor": ("Trombone", "E2", "Bb4"),
}
every_wind = pytest.mark.parametrize("name", ORCHESTRA)


def compass(name: str) -> Compass:
    found = profile(name).get(Compass)
    assert found is not None
    return found


def usual(name: str) -> Decimal:
    reading = profile(name).get(Reading)
    assert reading is not None
    return next(item for item in reading.conventions if item.usual).semitones


@every_wind
def test_lowest_notes_agree_with_music21(name: str) -> None:
    """The library's lowest notes are written ones.

    Differences. Flute: the library knows the C foot; ours goes on to B3 (S135), and our comfortable compass begins at its C4.
    Trombone: the library stops at E2; ours goes on to the pedal notes (S150), with the gap told by brass.partial, and our
    comfortable compass begins at its E2.
    """
    theirs = getattr(music21.instrument, ORCHESTRA[name][0])().lowestNote.midi + int(usual(name))
    ours = compass(name)
    if name in ("flute", "trombone-tenor"):
        assert ours.lowest.value.cents < 100 * theirs
        assert ours.comfortable_lowest is not None
        assert ours.comfortable_lowest.value.cents == 100 * theirs
    else:
        assert ours.lowest.value.cents == 100 * theirs


@every_wind
def test_transpositions_agree_with_music21(name: str) -> None:
    interval = getattr(music21.instrument, ORCHESTRA[name][0])().transposition
    assert usual(name) == (0 if interval is None else interval.semitones)


@every_wind
def test_no_second_table_leaves_our_compass(name: str) -> None:
    """The second table lies inside ours everywhere, and gives one of our ends or comfortable ends below."""
    _, low, high = ORCHESTRA[name]
    moved = int(usual(name) * 100)
    ours = compass(name)
    assert ours.lowest.value.cents <= parse(low).cents + moved
    assert parse(high).cents + moved <= ours.highest.value.cents
    lows = [item.value.cents for item in (ours.lowest, ours.comfortable_lowest) if item is not None]
    assert parse(low).cents + moved in lows


@every_wind
def test_the_sound_and_program_are_music21s(name: str) -> None:
    theirs = getattr(music21.instrument, ORCHESTRA[name][0])()
    offer = registry_offer(name)
    assert theirs.instrumentSound in offer.sound_ids
    assert theirs.midiProgram + 1 in offer.programs


def registry_offer(name: str):  # type: ignore[no-untyped-def]  # noqa: ANN201
    from tests.external.winds_planted import registry

    return registry().offers[name].entry


@pytest.mark.parametrize(("name", "fundamental"), [("trumpet-b-flat", "Bb2"), ("horn", "F1"), ("trombone-tenor", "Bb1")])
def test_the_second_partial_of_the_open_tube(name: str, fundamental: str) -> None:
    """Pitch of brass instruments, encyclopaedia text (S148): trumpet and horn name the tube; the open trumpet in B flat plays Bb3,
    Bb4 and F4 (written C4, C5, G4), the F horn F2 and F3, the trombone in first position Bb2, F3, Bb3."""
    brass = profile(name).get(Brass)
    assert brass is not None
    assert brass.sides[0].fundamental.name == fundamental


# --- voices ------------------------------------------------------------------------------------------------------------------

# Three published tables; sounding. S284 with its extensions, S339, S6 (general-purpose library).
VOICES = {
    "voice-soprano": (("B3", "A5", "F#3", "D6"), ("C4", "A5"), ("C4", "E6")),
    "voice-alto": (("G3", "F5", "D3", "Bb5"), ("G3", "F5"), ("F3", "G5")),
    "voice-tenor": (("C3", "Bb4", "G2", "Eb5"), ("C3", "A4"), ("C3", "D5")),
    "voice-bass": (("E2", "D4"), ("F2", "E4"), ("E2", "F4")),
}
# S165: amateur choirs.
CHOIRS = {"voice-soprano": "Bb3 E5", "voice-alto": "G3 C5", "voice-tenor": "C3 E4", "voice-bass": "F2 C4"}


@pytest.mark.parametrize("name", VOICES)
def test_no_published_range_of_a_voice_leaves_our_compass(name: str) -> None:
    ours = compass(name)
    for table in VOICES[name]:
        for note in table:
            assert ours.lowest.value.cents <= parse(note).cents <= ours.highest.value.cents, note


@pytest.mark.parametrize("name", VOICES)
def test_no_compass_of_a_voice_bears_a_halt(name: str) -> None:
    """The tables disagree by more than a fourth, and a voice is one singer's: a query at most."""
    for value in (compass(name).lowest, compass(name).highest):
        assert value.certainty.cap.value == "query"


@pytest.mark.parametrize("name", CHOIRS)
def test_compass_of_amateur_choirs(name: str) -> None:
    vocal = profile(name).get(Vocal)
    assert vocal is not None
    assert vocal.choir_lowest is not None
    assert vocal.choir_highest is not None
    assert f"{vocal.choir_lowest.value.name} {vocal.choir_highest.value.name}" == CHOIRS[name]
    assert vocal.tessitura_lowest.value.cents < vocal.tessitura_highest.value.cents
