"""What a player's copy says. Degrees, strings and terms follow from their definitions; sources beside the tests.

Numbered notation: 1 to 7 are the degrees of the major scale on the tonic that "1 = D" names, a minor piece is read from 6 (common
practice of East Asian numbered notation, no source). Accidentals and their cents are the file's own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from pathlib import Path

import pytest

from xmlcheck.annotation import player_copy, unmark
from xmlcheck.brought import brought
from xmlcheck.checking import check_source
from xmlcheck.config import parse
from xmlcheck.paths import Choices, registry_for, settled
from xmlcheck.pitch import parse as pitch
from xmlcheck.player_lines.degrees import degree, fifths_of, tonic
from xmlcheck.player_lines.terms import term
from xmlcheck.player_lines.wish import Wish, Wishes, wishes
from xmlcheck.player_lines.words import LANGUAGES, plan_text, said, unknown
from xmlcheck.source import from_bytes
from xmlcheck.testing.mini import Part, score

WORDS = re.compile(r'<direction placement="(above|below)"><direction-type><words[^>]*>(.*?)</words>')


KEY = re.compile(r"<key>.*?</key>", re.DOTALL)


def copied(notes: str, name: str, text: str = "", language: str = "", keyless: bool = False) -> tuple[list[str], list[str]]:
    """The lines above and below that are written into a part, for what is declared."""
    data = KEY.sub("", score(Part(notes, name=name)).decode()).encode() if keyless else score(Part(notes, name=name))
    config = parse(text, Path("xmlcheck.toml"))
    registry = registry_for(Choices(), config)
    config, _ = brought(settled(config, registry)[0], registry)
    report = check_source(from_bytes(data, "a.musicxml"), registry, config)
    copy = player_copy(data, report, wishes(report, config, language))
    assert unmark(copy) == data
    inserted = "".join(re.findall(r"<\?xmlcheck begin\?>(.*?)<\?xmlcheck end\?>", copy.decode()))
    found = [(where, unescape(words)) for where, words in WORDS.findall(inserted)]
    return [words for where, words in found if where == "above"], [words for where, words in found if where == "below"]


def reads(part: str, what: str) -> str:
    return f'[players.a]\npart = "{part}"\nreads = "{what}"\n'


@pytest.mark.parametrize(
    ("key", "note", "told"),
    [
        ("D4", "D4", "1"), ("D4", "F#4", "3"), ("D4", "F4", "b3"), ("D4", "C#4", "7,"), ("D4", "D5", "1'"), ("D4", "G#4", "#4"),
        ("Bb4", "Bb4", "1"), ("Bb4", "A4", "7,"), ("Bb4", "E5", "#4"), ("C4", "A5", "6'"), ("C4", "B2", "7,,"), ("C4", "E4-50c", ""),
        ("G4", "F#4", "7,"), ("F4", "B4", "#4"),
    ],
)  # fmt: skip
def test_degrees(key: str, note: str, told: str) -> None:
    assert degree(pitch(note), pitch(key)) == told


@pytest.mark.parametrize(
    ("name", "fifths"),
    [("C", 0), ("D", 2), ("Bb", -2), ("F#", 6), ("f", -1), ("B♭", -2), ("Eb", -3), ("x", None), ("", None)],
)
def test_keys_by_name(name: str, fifths: int | None) -> None:
    """The circle of fifths."""
    assert fifths_of(name) == fifths
    if fifths is not None:
        assert tonic(fifths).name[:-1].lower() == name.replace("♭", "b").lower()


def test_numbered_notation_follows_the_key_and_its_changes() -> None:
    notes = "tempo=90 key=2 D4.q F#4 A4 D5 | key=-1 F4.q A4 [F4 C5] Bb4"
    above, below = copied(notes, "Dizi", reads("Dizi", "numbered"))
    assert [text[:6] for text in above if text.startswith("1 = ")] == ["1 = D4", "1 = F4"]
    assert below == ["1", "3", "5", "1'", "1", "3", "1 5", "4"]


def test_numbered_notation_in_the_declared_key() -> None:
    above, below = copied("tempo=90 D4.q E4 F#4 G4", "Dizi", reads("Dizi", "numbered") + 'key = "G"')
    assert any(text.startswith("1 = G4") for text in above)
    assert below == ["5,", "6,", "7,", "1"]


def test_numbered_notation_is_of_what_sounds() -> None:
    """A part in B flat written a tone high: written D sounds C (MusicXML 4.0, element transpose)."""
    above, below = copied(
        "tempo=90 transpose=-2/-1 key=2 D5.q E5 F#5 G5", "Clarinet in Bb", reads("Clarinet in Bb", "numbered")
    )
    assert any(text.startswith("1 = C4") for text in above)
    assert below == ["1'", "2'", "3'", "4'"]


def test_no_degrees_without_a_key_and_none_between_the_semitones() -> None:
    assert copied("tempo=90 D4.q E4 F4 G4", "Dizi", reads("Dizi", "numbered"), keyless=True)[1] == []
    assert copied("tempo=90 key=0 D4.q E4-50c F4 G4", "Dizi", reads("Dizi", "numbered"))[1] == ["2", "4", "5"]


KOTO = '[players.a]\npart = "Koto"\ninstrument = "koto"\nbrings = { tunings = ["gakujoshi"] }\n'


def test_string_numbers_only_where_one_open_string_has_the_note() -> None:
    """Gakujōshi on D (the profile's S57): 1 and 5 are both D4; F4 is on no string; 11 is called 斗."""
    notes = "tempo=90 D4.q G3 A3 F4 | [C4 E4] E5 A5 D4"
    above, below = copied(notes, "Koto", KOTO + 'reads = "tablature"')
    assert below == ["2", "3", "4 6", "斗", "巾"]
    assert sum(said("strings", "en") in text for text in above) == 1
    assert copied(notes, "Koto", KOTO + 'reads = "staff"')[1] == []
    assert copied(notes, "Koto", KOTO)[1] == []


def test_string_numbers_follow_a_retuning() -> None:
    notes = "tempo=60 D4.q G4 A4 C5 | D5.q E5 C5 A4 | R | R | R | D4.q G4 A4 B4 | D5.q E5 B4 A4"
    _, below = copied(notes, "Koto", KOTO + 'reads = "tablature"')
    assert below == ["7", "8", "9", "10", "斗", "9", "8", "7", "8", "9", "10", "斗", "9", "8"]


def test_no_string_numbers_where_strings_are_called_by_letters_or_are_stopped() -> None:
    for name in ("Lever Harp", "Oud", "Violin"):
        assert copied("tempo=90 key=0 C4.q D4 E4 F4", name, reads(name, "tablature"))[1] == []


def test_heads() -> None:
    text = 'pitch_standard = 442\n[players.a]\npart = "Oud"\n'
    notes = "tempo=90 key=0/dorian D4.q E4-50c!accidental=quarter-flat F4 E4-60c!accidental=koron | key=0 D4.w"
    above, _ = copied(notes, "Oud", text)
    assert above[:3] == [
        "Pitch standard: A4 = 442 Hz",
        "Mode: D dorian",
        "Signs, against the natural note: quarter-flat -50 cents, koron -60 cents",
    ]
    assert copied("tempo=90 key=0/major D4.w", "Oud")[0] == []


def test_the_one_size_that_is_brought_is_named() -> None:
    text = '[players.a]\npart = "Shakuhachi"\ninstrument = "shakuhachi"\nbrings = { sizes = ["1.8"] }'
    assert any("shakuhachi 1.8" in line for line in copied("tempo=90 D4.q F4 G4 A4", "Shakuhachi", text)[0])
    assert not any("piccolo" in line for line in copied("tempo=90 D5.q F5 G5 A5", "Piccolo")[0])


def test_technique_words_in_script_letters_and_plain_words_at_their_first_use() -> None:
    above, _ = copied('tempo=90 "yuri" D4.q D4 "vib." D4 D4 | "muraiki" D4.w', "Shakuhachi")
    terms = [text for text in above if ": " in text]
    assert terms == ["ユリ: vibrato of the head", "ムラ息: explosive breath"]


@pytest.mark.parametrize(
    ("technique", "written", "told"),
    [
        ({"id": "yuri", "native": "揺り", "title": "vibrato", "words": ["yuri", "vib."]}, "vib.", "揺り (yuri): vibrato"),
        ({"id": "yuri", "native": "揺り", "title": "vibrato", "words": ["yuri", "vib."]}, "yuri", "揺り: vibrato"),
        ({"id": "yaozhi", "native": "摇指", "title": "tremolo", "words": ["yaozhi", "摇指"]}, "摇指", "yaozhi: tremolo"),
        ({"id": "press", "native": "按音", "title": "pressed", "words": ["an"]}, "an", "按音: pressed"),
        ({"id": "damped", "title": "damped", "words": ["damped"]}, "damped", ""),
    ],
)
def test_terms(technique: Mapping[str, object], written: str, told: str) -> None:
    assert term(technique, written) == told


def test_languages() -> None:
    above, _ = copied("tempo=90 D4.q G3 A3 C4", "Koto", "pitch_standard = 440\n" + KOTO, "de-AT")
    assert above[0] == "Stimmton: A4 = 440 Hz"
    assert any(text.startswith("Stimmung: gakujōshi") for text in above)
    assert copied("tempo=90 D4.w", "Oud", "pitch_standard = 440", "xx")[0] == ["Pitch standard: A4 = 440 Hz"]
    assert unknown(["de", "xx", "xx", ""]) == [
        f'no words in the language "xx" (known: {", ".join(LANGUAGES)}); English is written.'
    ]
    for language in LANGUAGES:
        assert all(said(key, language).strip() for key in ("pitch", "mode", "tonic", "signs", "strings", "degrees"))
        assert "D4" in said("degrees", language).format(one="D4")
    assert plan_text("whistle in D, lowest D5", "de") == "whistle in D, lowest D5"


def test_a_player_speaks_for_the_part_alone() -> None:
    text = 'pitch_standard = 441\n[players.a]\npart = "P1"\nlanguage = "fr"\nreads = "numbered"\n'
    config = parse(text, Path("xmlcheck.toml"))
    data = score([Part("key=0 C4.w", name="Dizi"), Part("key=0 C4.w", name="Erhu")])
    report = check_source(from_bytes(data, "a"), registry_for(Choices(), config), config)
    found = wishes(report, config)
    assert found.of("P1") == Wish(degrees=True, language="fr", pitch_standard=441.0)
    assert found.of("P2") == Wish(pitch_standard=441.0)
    assert Wishes().of("P1") == Wish()
