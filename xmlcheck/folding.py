# ruff: noqa: RUF001 - letters of other scripts are meant
"""Text folded for comparison, by Unicode's rules (NFKC, full case folding); accents go for Latin letters only."""

from __future__ import annotations

import re
import unicodedata

HIDDEN_FIGURES = 0xE000
"""Ten characters for private use from here stand for figures that are hidden while others are read."""
_SPELT = {"♭": "b", "♯": "#", "ı": "i", "ł": "l", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe"}
_SPELT |= {chr(HIDDEN_FIGURES + n): str(n) for n in range(10)} | dict.fromkeys("'’‘ʻʼʾʿ`ˈ", "")
_SPECIAL = re.compile(f"[{''.join(_SPELT)}]")
ACCENTS = re.compile("[\u0300-\u036f]+(?:(?<=[a-z].)|(?<=[a-z]..)|(?<=[a-z]...))")  # up to three on a Latin letter
_PUNCTUATION = re.compile(
    r"[\t\r !-/:-@\[-`{-~\xa0-\xa9\xab-\xb4\xb6-\xb9\xbb-\xbf\u2000-\u206f\u3000-\u3004\u3008-\u3020・،؛。]+"
)


def fold(text: str) -> str:
    """Letters for comparison: NFKC, case folded, Latin accents off, punctuation and white space as single blanks."""
    return " ".join(_PUNCTUATION.sub(" ", _letters(text)).split())


def fold_lines(text: str) -> list[list[str]]:
    """The folded words of every line of a text, in one go: much faster than line by line."""
    return [line.split() for line in _PUNCTUATION.sub(" ", _letters(text)).split("\n")]


def _letters(text: str) -> str:
    text = unicodedata.normalize("NFKC", text.replace("´", "'")).casefold()
    if not text.isascii():
        text = unicodedata.normalize("NFC", ACCENTS.sub("", unicodedata.normalize("NFD", text)))
    return _SPECIAL.sub(lambda found: _SPELT[found[0]], text)
