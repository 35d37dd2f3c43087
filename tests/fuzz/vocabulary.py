"""Texts that the writer puts into valid scores: what players read, what programs write, and what trips readers up.

All our own, apart from the standard's forms of values. Words of technique and names of instruments make rules look closer.
"""

from __future__ import annotations

from functools import cache

from tests.fuzz.properties import registry

PATTERNED = {
    "color": ("#000000", "#7B2D6BFF"),
    "comma-separated-text": ("Times", "A, B,C"),
    "font-family": ("Times", "A,B"),
    "smufl-accidental-glyph-name": ("accSagittal5CommaUp", "medRenFlatSoftB"),
    "smufl-coda-glyph-name": ("coda", "codaSquare"),
    "smufl-lyrics-glyph-name": ("lyricsElision",),
    "smufl-pictogram-glyph-name": ("pictGongIn",),
    "smufl-segno-glyph-name": ("segno", "segnoSerpent1"),
    "smufl-wavy-line-glyph-name": ("wiggleTrill", "guitarWideVibratoStroke"),
    "time-only": ("1", "1,2", "2, 3"),
    "yyyy-mm-dd": ("2024-02-29",),
    "ending-number": ("1", "2", "1, 2", "1,2,3", " ", "", "17"),
}
"""Values of types that have a pattern."""
WORDS = (
    "pizz.", "arco", "con sord.", "senza sord.", "to Piccolo", "muta in Fl. 2", "a 2", "a2", "div.", "div. a 3", "unis.", "solo", "tutti",
    "1.", "2.", "1. 2.", "sul G", "sul pont.", "col legno", "nat.", "8va", "8vb", "loco", "rit.", "accel.", "a tempo", "Allegro (q=120)",
    "D.C. al Fine", "D.S. al Coda", "To Coda", "Fine", "harm.", "flz.", "trem.", "open", "stopped", "mute", "tune E to D", "cresc.",
    "dim.", "gliss.", "l.v.", "let ring", "half-holed", "circular breathing", "[check] no", "check 12", "♩ = 96", "Capo 3",
    "scord. A-E-A-E",
    "play one octave lower", "sounds as written", "+", "o", "(7)", "", " ", "é <b> & ' \" ]]>", "尺八", "كمان", "\N{MUSICAL SYMBOL G CLEF}",
    "in unison with the tide", "change to A", "retune", "press", "bend", "breath", "4 sec.", "x3", "3x", "tacet",
    "Solo 1 player", "gli altri",
)  # fmt: skip
TEXTS: dict[str, tuple[str, ...]] = {
    "words": WORDS,
    "rehearsal": ("A", "B", "12", "A1", ""),
    "per-minute": ("120", "60-66", "c. 96", "0", "x", "132.5", "ca 40 - 44", "100000"),
    "beats": ("4", "3", "3+2", "2", "7", "2+2+3", "1", "12"),
    "beat-type": ("4", "8", "2", "16", "1", "32"),
    "fifths": ("0", "1", "-1", "3", "-4", "7", "-7", "11"),
    "key-step": ("F", "C", "B"),
    "line": ("2", "4", "3", "1", "0", "-1", "5"),
    "clef-octave-change": ("0", "-1", "1", "-2", "2"),
    "staff-lines": ("5", "1", "0", "6", "4"),
    "capo": ("0", "2", "12"),
    "string": ("1", "2", "4", "6"),
    "fret": ("0", "3", "12", "24"),
    "fingering": ("1", "0", "4", "2-3", "p", "", "T"),
    "pluck": ("p", "i", "m"),
    "display-text": ("Horn", " in ", "F", "", "1"),
    "group": ("score", "parts", "", "flute only"),
    "other-technical": ("buzz", ""),
    "text": ("la", "", "ti-", "ló", "a&b"),
    "root-step": ("C", "F", "A"),
    "function": ("V", "ii", ""),
    "midi-name": ("Patch 1", "KOTO ff"),
    "pan": ("0", "-45"),
}  # fmt: skip
"""Texts by element name, before those by type."""
NUMBERS: dict[str, tuple[str, ...]] = {
    "semitones": ("0", "1", "-1", "0.5", "-0.5", "1.5", "2", "-2", "0.37", "-1.25", "3", "-7", "0.000001"),
    "divisions": ("1", "2", "0", "0.5", "3", "-1", "96", "-0.25", "100000"),
    "positive-divisions": ("1", "2", "3", "0.5", "480"),
    "tenths": ("10", "-5.5", "0", "40"),
    "octave": ("4", "3", "5", "2", "6", "1", "0", "9"),
    "millimeters": ("7", "0.1"),
}
ELEMENTS: dict[str, tuple[str, ...]] = {
    "octave-change": ("0", "-1", "1", "2"),
    "chromatic": ("0", "-2", "-7", "3", "-9", "2", "0.5", "-14", "-24"),
    "diatonic": ("0", "-1", "-4", "2"),
    "bend-alter": ("1", "0.5", "-2", "3"),
}
"""Numbers by type and by element name."""
INTEGERS = ("1", "2", "3", "0", "4", "-1", "5", "8", "16", "127")
DECIMALS = ("1", "0", "60", "120", "0.5", "33.3", "100", "-1", "999", "0.001")
HUGE = ("1000000", "999999999999", "123456789.987654321", "0.000000001")
STRINGS = ("a", "", "x y", "Lamp No. 4", "é", "1", "tide\n road", "<&>", "-")


@cache
def headings() -> tuple[str, ...]:
    """What parts are called: a name and an abbreviation of every instrument that a plugin has, some others and doublings."""
    found = [
        "Flute",
        "Staff",
        "",
        "Track 01",
        "Klang 7",
        "Voice",
        "Horn in F 1.2",
        "Fl. (also Picc.)",
        "Violin I",
        "2 Trumpets in B♭",
    ]
    for entry in registry().names.entries.values():
        found += [entry.names.get("en", entry.id), *entry.aliases[:1], *entry.abbreviations[:1]]
    return tuple(found)


@cache
def sounds() -> tuple[str, ...]:
    """Standard sound ids that a plugin knows, and some that none does."""
    found = {sound for entry in registry().names.entries.values() for sound in entry.sound_ids}
    return ("wind.flutes.flute", *sorted(found), "metal.nothing", "x", "")
