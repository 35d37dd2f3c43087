"""Words in scores: the same word in other letters, and where a phrase stands in a text."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

# Letters that many hands write differently: apostrophes, hyphens, dotless and barred letters, Persian and Arabic yeh and kaf;
# the stroke that only lengthens an Arabic word goes.
_ALIKE = str.maketrans(
    dict.fromkeys("\u2019\u2018\u02bc\u0060\u00b4", "'")
    | dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-")
    | {"\u0131": "i", "\u0142": "l", "\u00f8": "o", "\u0111": "d"}
    | {"\u06cc": "\u064a", "\u0649": "\u064a", "\u06a9": "\u0643", "\u0640": ""}
)
_UNSPACED = "\u0e00-\u109f\u1100-\u11ff\u1780-\u17ff\u2e80-\ua4cf\uac00-\ud7af\uf900-\ufaff\U00020000-\U0003ffff"
"""Scripts in which a word need not have blanks around it: Thai, Lao, Tibetan, Burmese, Khmer, kana, Han, and Hangul, where
particles are written onto the word (Unicode Standard Annex 29; of Hangul common knowledge, no source)."""
_BARE = re.compile(f"[{_UNSPACED}]")
_CLITICS = re.compile("[وف]?(?:[بك]?ال|لل|[بكل])?")
"""What Arabic writes onto the front of a word: and, so, in, like, for, the (common knowledge, no source)."""


@dataclass(frozen=True, slots=True, order=True)
class Said:
    """Where a phrase stands in the `plain` text."""

    start: int
    end: int

    def holds(self, other: Said) -> bool:
        """Whether the other phrase is a part of this longer one."""
        return self.start <= other.start and other.end <= self.end and self != other


@lru_cache(maxsize=8192)
def folded(text: str) -> str:
    """Text as compared: compatibility forms, no accents, lower case, one blank between words."""
    apart = unicodedata.normalize("NFKD", text)
    bare = "".join(c for c in apart if not unicodedata.combining(c) or "\u3040" <= c <= "\u30ff")
    return " ".join(unicodedata.normalize("NFKC", bare).casefold().translate(_ALIKE).split())


@lru_cache(maxsize=8192)
def plain(text: str) -> str:
    """Folded text whose full stops are blanks, so that `s.p.`, `s. p.` and `S. P` are one."""
    return " ".join(folded(text).replace(".", " ").replace("。", " ").split())


def says(text: str, words: tuple[str, ...]) -> bool:
    """Whether one of these words or phrases stands in the text as whole words, accents, case and full stops aside."""
    return _says(plain(text), words) if text else False


@lru_cache(maxsize=16384)
def _says(told: str, words: tuple[str, ...]) -> bool:
    return any(phrase in told and next(_places(told, phrase), None) is not None for phrase in _phrases(words))


def find(text: str, words: tuple[str, ...]) -> list[Said]:
    """Where these words or phrases stand in the plain text, the longest at each place, none inside another."""
    told = plain(text)
    places = [place for phrase in _phrases(words) if phrase in told for place in _places(told, phrase)]
    kept: list[Said] = []
    for place in sorted(places, key=lambda place: (place.start, -place.end)):
        if not kept or place.start >= kept[-1].end:
            kept.append(place)
    return kept


@lru_cache(maxsize=4096)
def _phrases(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple({phrase: None for word in words if (phrase := plain(word))})


def _places(told: str, phrase: str) -> Iterator[Said]:
    """Where a phrase stands as whole words. Plain search comes first: word lists are long, and few words are in any text."""
    bare_left, bare_right = _bare(phrase[0]), _bare(phrase[-1])
    arabic = "\u0600" <= phrase[0] <= "\u06ff"
    start = told.find(phrase)
    while start >= 0:
        end, left = start + len(phrase), start
        while not bare_left and left > 0 and _letter(told[left - 1]):
            left -= 1
        whole = left == start or (arabic and _CLITICS.fullmatch(told, left, start) is not None)
        if whole and (bare_right or end == len(told) or not _letter(told[end])):
            yield Said(left, end)
        start = told.find(phrase, start + 1)


@lru_cache(maxsize=4096)
def _bare(letter: str) -> bool:
    """Whether the letter is of a script in which words need no blanks around them."""
    return _BARE.match(letter) is not None


def _letter(letter: str) -> bool:
    return letter.isalnum() and not _bare(letter)
