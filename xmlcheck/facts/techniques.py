"""Techniques in force: from words with a lasting meaning to the word that ends them.

The vocabulary is handed in as plain values, so this room knows no instrument.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import inf

from xmlcheck.facts.in_force import Stretch, inside, joined
from xmlcheck.facts.words import Said, find, folded, plain, says
from xmlcheck.model import Direction

__all__ = ["Span", "Wording", "covering", "folded", "mentions", "says", "spans"]

Covering = Callable[[int, int | None], bool]
PROSE = 80
"""Letters from which on a text is an explanation and begins nothing (ours)."""
_EITHER = re.compile(r"/|(?<![^\W_])(?:or|od|oder|ou|o|oppure)(?![^\W_])")


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
        """Whether the technique is in force there."""
        return self.start <= tick and (self.end is None or tick < self.end) and (not self.staff or self.staff == staff)


def covering(spans: Iterable[Span]) -> Covering:
    """To be asked for each note of a part, with tick and staff (None: any staff), whether any of the spans is in force there."""
    every = tuple(spans)
    by_staff: dict[int | None, list[Stretch]] = {}

    def covers(tick: int, staff: int | None) -> bool:
        if staff not in by_staff:
            own = (span for span in every if not span.staff or staff in (None, span.staff))
            by_staff[staff] = joined((span.start, inf if span.end is None else span.end) for span in own)
        return inside(by_staff[staff], tick)

    return covers


def mentions(directions: Iterable[Direction], words: tuple[str, ...]) -> tuple[Direction, ...]:
    """The directions whose words say one of these."""
    return tuple(d for d in directions if d.words and says(d.words, words))


def spans(directions: Sequence[Direction], vocabulary: Iterable[Wording]) -> tuple[Span, ...]:
    """When each lasting technique is in force, in order of its start. A second mention while in force is a reminder.

    Of a text that ends and begins a technique the last word holds; alternatives ("pizz./arco") end it. A word inside a longer
    one of the vocabulary ("l.h. pizz.") is that longer one, so the whole vocabulary helps, not only what lasts.
    """
    every = tuple(vocabulary)
    spoken = [(d, text) for d in directions if (text := d.words) and len(text) <= PROSE]
    begun = {text: _beginnings(text, every) for text in {text for _, text in spoken}}
    result: list[Span] = []
    for wording in every:
        if not wording.lasting:
            continue
        heard = {text: _heard(text, wording, beginnings) for text, beginnings in begun.items()}
        running: dict[int, Direction] = {}
        for direction, text in spoken:
            starts, stops = heard[text]
            staff = direction.staff
            if stops:
                for key in [key for key in running if not staff or not key or key == staff]:
                    start = running.pop(key)
                    result.append(Span(wording.id, start.onset, direction.onset, start, direction, key))
            if starts and staff not in running and 0 not in running and (staff or not running):
                running[staff] = direction
        result.extend(Span(wording.id, d.onset, None, d, None, key) for key, d in running.items())
    return tuple(sorted(result, key=lambda span: span.start))


def _beginnings(text: str, vocabulary: Iterable[Wording]) -> list[tuple[str, Said]]:
    """What each technique's own words say in a text, with its id."""
    return [(wording.id, said) for wording in vocabulary for said in find(text, wording.words)]


def _heard(text: str, wording: Wording, beginnings: list[tuple[str, Said]]) -> tuple[bool, bool]:
    """Whether a text begins this technique, and whether it ends it."""
    begins = [said for name, said in beginnings if name == wording.id and not any(other.holds(said) for _, other in beginnings)]
    ends = find(text, wording.cancels)
    words = [said for said in begins if not any(end.holds(said) for end in ends)]
    stops = [end for end in ends if not any(said.holds(end) for said in begins)]
    if not words or not stops:
        return bool(words), bool(stops)
    last_word, last_stop = max(words), max(stops)
    between = plain(text)[min(last_word.end, last_stop.end) : max(last_word.start, last_stop.start)]
    return last_word > last_stop and not _EITHER.search(between), True
