"""What is struck together, and how fast: plain functions over tones and heads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from xmlcheck.plugin import Chair, Note, Tone

FEWEST = 8
"""Strokes that make a run: fewer are a flourish, which players take faster (ours)."""
ROLLS = ("tremolo", "trill-mark", "wavy-line")
"""Signs of a roll, by the standard's names (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Run:
    """Strokes one after the other. rate: strokes a second over the whole run. hands: hands that every stroke takes."""

    tones: tuple[Tone, ...]
    seconds: float
    rate: float
    hands: int


def rolled(tone: Tone) -> bool:
    """Whether a roll is marked on the tone; a tremolo between two notes counts."""
    return tone.has(*ROLLS)


def chord_of(tone: Tone, tones: Iterable[Tone]) -> tuple[Tone, ...]:
    """The tones that are written as one chord with this one: a sign on the first head holds for all."""
    return tuple(other for other in tones if other.onset == tone.onset and other.voice == tone.voice)


def broken(tones: Sequence[Tone]) -> bool:
    """Whether a chord is struck note by note."""
    return bool(tones) and all(tone.has("arpeggiate") for tone in tones)


def onsets(tones: Sequence[Tone]) -> list[tuple[Tone, ...]]:
    """The tones that begin together, in order of time; of one pitch only one."""
    groups: dict[int, dict[int, Tone]] = {}
    for tone in tones:
        groups.setdefault(tone.onset, {}).setdefault(tone.sounding.cents, tone)
    return [tuple(groups[onset].values()) for onset in sorted(groups)]


def runs(chair: Chair, rates: dict[int, float], fewest: int = FEWEST) -> Iterator[Run]:
    """Every longest run in which strokes follow faster than the rate for as many hands as each takes.

    rates: strokes a second by hands (1 or 2). A stroke of two notes or more takes both hands.
    """
    run: list[tuple[Tone, ...]] = []
    hands = 0
    struck = [group for group in onsets(chair.tones) if not any(map(rolled, group)) and not broken(group)]
    for group in struck:
        needs = min(2, len(group))
        limit = rates.get(2 if needs == 1 else 1)
        gap = chair.seconds(run[-1][0].onset, group[0].onset) if run else 0.0
        if run and (limit is None or needs != hands or gap * limit >= 1):
            yield from _made(chair, run, hands, fewest)
            run = []
        run.append(group)
        hands = needs
    yield from _made(chair, run, hands, fewest)


def _made(chair: Chair, run: Sequence[tuple[Tone, ...]], hands: int, fewest: int) -> Iterator[Run]:
    if len(run) >= fewest:
        seconds = chair.seconds(run[0][0].onset, run[-1][0].onset)
        if seconds > 0:
            yield Run(tuple(group[0] for group in run), seconds, (len(run) - 1) / seconds, hands)


def place_of(note: Note) -> tuple[str, str]:
    """Where a head without pitch stands and how it looks: what tells one piece of a kit from another."""
    shown = note.display or note.written
    return (shown.name if shown is not None else "", note.notehead)
