"""Tunings in words: "IV = C", "tune A down to G", "Scordatura: G D A D", "C-Saite nach H", "la corda IV in Si bemolle".

Reads letter names in English, in German (H is B natural, Es is E flat, Fis is F sharp) and in solfège, and takes the pitch of that
name nearest to the string's usual pitch. A bare B is B natural in English and B flat in German: unless the words are plainly of
one language, both are kept. Knows no instrument: strings are given by their usual pitches, from the bass side.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from xmlcheck.plugin import Pitch, folded

ROMAN = {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8}
_SOLFEGE = {"do": "C", "ut": "C", "re": "D", "mi": "E", "fa": "F", "sol": "G", "la": "A", "si": "B"}
_GERMAN = {
    "h": ("B", 0), "his": ("B", 1), "b": ("B", -1), "cis": ("C", 1), "ces": ("C", -1), "dis": ("D", 1), "des": ("D", -1),
    "eis": ("E", 1), "es": ("E", -1), "fis": ("F", 1), "fes": ("F", -1), "gis": ("G", 1), "ges": ("G", -1), "ais": ("A", 1),
    "as": ("A", -1),
}  # fmt: skip
_SHARP = r"(?:\s*(?:#|♯)|[\s-]*(?:sharp|diesis|diese|sostenido)\b)"
_FLAT = r"(?:b(?![a-z])|\s*♭|[\s-]*(?:flat|bemolle|bemol)\b)"
_NATURAL = r"(?:\s*♮|[\s-]*(?:natural|naturale|naturel|becuadro|becarre|bequadro)\b)"
_NAME = re.compile(
    r"(?P<solfege>\b(?:do|ut|re|mi|fa|sol|la|si)\b)(?:(?P<ss>" + _SHARP + ")|(?P<sf>" + _FLAT + "))?"
    r"|\b(?P<german>[a-h]is|[cdfg]es|es|as|h)\b"
    r"|\b(?P<letter>[a-g])(?:(?P<ls>" + _SHARP + ")|(?P<lf>" + _FLAT + ")|(?P<ln>" + _NATURAL + r"))?(?![a-z'])"
)
_STRING = re.compile(
    r"\b(?P<roman>viii|vii|vi|iv|v|iii|ii|i)\b|(?P<number>[1-8])(?:\s*(?:st|nd|rd|th|a|e|\.)\b)?|[\u2460-\u2467]"
)
_ASKS = re.compile(
    r"scord|discord|umstimm|umgestimmt|gestimmt|\bstimm|\btun(?:e|ed|ing)\b|accord(?:e|at)|afina|accordatura|retune"
)
_ARTICLE = re.compile(r"\bla\s+(?=cord|cuerd|[ivx]+\b|\d)")
_PLAIN = re.compile(r"\bstrings?\b|saite|\bcord[ae]s?\b|\bcuerdas?\b")
_SIGN = re.compile(
    r"^\W*(?:[ivx]+|[1-8](?:st|nd|rd|th|a|e)?|[\u2460-\u2467])\s*(?:=|->|→)\s*[^\d\s]+"
    r"(?:\s*(?:flat|sharp|natural|bemolle|bemol|diesis|diese))?\W*$"
)
_TO = re.compile(r"=|\bdown to\b|\bup to\b|\bto\b|\bnach\b|\bauf\b|\bin\b|\ben\b|\bau\b|->|→")
_GERMAN_WORDS = re.compile(r"\b(?:saite|saiten|nach|auf|stimmen|umstimmen|gestimmt|umgestimmt|stimmung)\b|-saite")
_ENGLISH_WORDS = re.compile(r"\b(?:string|tune|tuned|tuning|retune|down|up|to)\b")
_BACK = re.compile(r"normal|usual|ordinar|gewohnlich|original|wieder|senza scord|standard")


@dataclass(frozen=True, slots=True)
class Words:
    """What a direction says of the tuning. changes: string (from the bass side, 0) to pitch; empty with `back` for the usual one.

    doubts: for each string, the other pitch that the same letter means elsewhere. unread: it speaks of a tuning that is not told.
    """

    changes: tuple[tuple[int, Pitch], ...] = ()
    doubts: tuple[tuple[int, Pitch], ...] = ()
    back: bool = False
    unread: bool = False


def read(text: str, strings: Sequence[Pitch]) -> Words | None:
    """What the text says of the tuning of these strings; None where it says nothing of a tuning."""
    said = folded(text)
    asked = _ASKS.search(said) is not None
    if asked and _BACK.search(said):
        return Words(back=True)
    pairs = _pairs(said, strings)
    if not pairs and asked:
        pairs = _list(said, strings)
    if not pairs:
        return Words(unread=True) if re.search(r"scord|discord|umgestimm|umstimm", said) else None
    changes, doubts = [], []
    german, english = _GERMAN_WORDS.search(said) is not None, _ENGLISH_WORDS.search(said) is not None
    for string, names in pairs:
        first = names[0] if len(names) == 1 or not german or english else names[1]
        changes.append((string, nearest(first, strings[string])))
        if len(names) > 1 and german == english:
            doubts.append((string, nearest(names[1], strings[string])))
    return Words(tuple(changes), tuple(doubts))


def nearest(name: tuple[str, int], usual: Pitch) -> Pitch:
    """The pitch of this letter and alteration that lies nearest to the string's usual pitch, below rather than above."""
    step, alter = name
    pitches = [Pitch(step, Decimal(alter), usual.octave + octave) for octave in (-1, 0, 1)]
    return min(pitches, key=lambda pitch: (abs(pitch.cents - usual.cents), pitch.cents))


def names_in(text: str) -> list[tuple[tuple[str, int], ...]]:
    """The note names of a folded text in order; a bare B as two readings, English first."""
    return [_meanings(match) for match in _NAME.finditer(text)]


def _meanings(match: re.Match[str]) -> tuple[tuple[str, int], ...]:
    if match["solfege"]:
        return ((_SOLFEGE[match["solfege"]], 1 if match["ss"] else -1 if match["sf"] else 0),)
    if match["german"]:
        return (_GERMAN[match["german"]],)
    letter = match["letter"].upper()
    if match["ls"] or match["lf"]:
        return ((letter, 1 if match["ls"] else -1),)
    if letter == "B" and not match["ln"]:
        return (("B", 0), ("B", -1))
    return ((letter, 0),)


def _pairs(said: str, strings: Sequence[Pitch]) -> list[tuple[int, tuple[tuple[str, int], ...]]]:
    """Each `string to pitch` of the text. A string is a Roman or Arabic number from the treble side, or its usual letter.

    Without a word of strings or tuning only the plain sign counts, `IV = C`: "from A to B" is a rehearsal.
    """
    found = []
    said = _ARTICLE.sub("", said)
    told = _ASKS.search(said) is not None or _PLAIN.search(said) is not None
    for clause in re.split(r"[,;/]|\band\b|\bund\b|\bet\b|\by\b", said):
        parts = _TO.split(clause)
        if len(parts) < 2 or not (told or _SIGN.match(clause.strip())):
            continue
        target = names_in(parts[-1])
        string = _string(" ".join(parts[:-1]), strings)
        if len(target) == 1 and string is not None:
            found.append((string, target[0]))
    return found


def _string(said: str, strings: Sequence[Pitch]) -> int | None:
    match = _STRING.search(said)
    if match is not None:
        number = ROMAN.get(match["roman"] or "") or int(match["number"] or 0) or ord(match[0][0]) - 0x245F
        return len(strings) - number if 0 < number <= len(strings) else None
    for names in names_in(said):
        for name in names:
            here = [n for n, pitch in enumerate(strings) if (pitch.step, int(pitch.alter)) == name]
            if len(here) == 1:
                return here[0]
    return None


def _list(said: str, strings: Sequence[Pitch]) -> list[tuple[int, tuple[tuple[str, int], ...]]]:
    """A list of all open strings, from the bass side; those at their usual pitch are no change."""
    names = names_in(re.split(r"[:=]", said)[-1])
    if len(names) != len(strings):
        return []
    pairs = list(enumerate(names))
    return [(n, name) for n, name in pairs if (strings[n].step, int(strings[n].alter)) not in name]
