"""Techniques in force: from words with a lasting meaning to the word that ends them.

The vocabulary is handed in as plain values, so this room knows no instrument.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from xmlcheck.model import Direction


@dataclass(frozen=True, slots=True)
class Wording:
    """One technique's words. lasting: in force until one of `cancels` comes."""

    id: str
    words: tuple[str, ...]
    cancels: tuple[str, ...] = ()
    lasting: bool = False


@dataclass(frozen=True, slots=True)
class Span:
    """A technique in force from `start` to `end` (ticks). end is None where nothing ends it. Staff 0: all staves."""

    id: str
    start: int
    end: int | None
    begins: Direction
    ends: Direction | None
    staff: int

    def covers(self, tick: int, staff: int) -> bool:
        return self.start <= tick and (self.end is None or tick < self.end) and (not self.staff or self.staff == staff)


def folded(text: str) -> str:
    """Text as compared: compatibility forms, no accents, lower case, one blank between words."""
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(c for c in plain if not unicodedata.combining(c) or "\u3040" <= c <= "\u30ff")
    return " ".join(unicodedata.normalize("NFKC", plain).casefold().split())


@lru_cache(maxsize=1024)
def _phrases(words: tuple[str, ...]) -> re.Pattern[str] | None:
    parts = sorted({folded(word).rstrip(".") for word in words if word.strip()}, key=len, reverse=True)
    if not parts:
        return None
    return re.compile(r"(?<![^\W_])(?:" + "|".join(re.escape(part) for part in parts) + r")(?![^\W_])")


def says(text: str, words: tuple[str, ...]) -> bool:
    """Whether one of these words or phrases stands in the text as whole words, accents, case and full stops aside."""
    pattern = _phrases(words)
    return pattern is not None and pattern.search(folded(text)) is not None


def mentions(directions: Iterable[Direction], words: tuple[str, ...]) -> tuple[Direction, ...]:
    """The directions whose words say one of these."""
    return tuple(d for d in directions if d.words and says(d.words, words))


def spans(directions: Sequence[Direction], vocabulary: Iterable[Wording]) -> tuple[Span, ...]:
    """When each lasting technique is in force, in order of its start. A second mention while in force is a reminder."""
    spoken = [d for d in directions if d.words]
    result: list[Span] = []
    for wording in vocabulary:
        if not wording.lasting:
            continue
        running: dict[int, Direction] = {}
        for direction in spoken:
            cancelled = says(direction.words, wording.cancels)
            begun = says(direction.words, wording.words) and not cancelled
            staff = direction.staff
            if cancelled:
                for key in [key for key in running if not staff or not key or key == staff]:
                    start = running.pop(key)
                    result.append(Span(wording.id, start.onset, direction.onset, start, direction, key))
            elif begun and staff not in running and 0 not in running:
                running[staff] = direction
        result.extend(Span(wording.id, d.onset, None, d, None, key) for key, d in running.items())
    return tuple(sorted(result, key=lambda span: span.start))
