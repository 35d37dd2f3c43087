"""Where two parts play in unison or in octaves, and how far their pitches differ there."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from xmlcheck.plugin import Chair, ScoreFacts, Tone

NEAREST, WIDEST = 10, 60
"""Cents within which two notes that are meant as one differ: less is not heard, more is another note."""
FEWEST = 3
"""Shared beginnings in a bar that show a unison (ours)."""
SHARE = 0.6
"""Of the shared beginnings of a bar, how many are unisons or octaves where the parts go together (ours)."""
SYSTEMS = {
    "quarter-tone": ("quarter-flat", "quarter-sharp", "three-quarters-flat", "three-quarters-sharp"),
    "Turkish": ("slash-quarter-sharp", "slash-sharp", "slash-flat", "double-slash-flat"),
    "Turkish folk": tuple(f"{sign}-{n}" for sign in ("sharp", "flat") for n in range(1, 6)),
    "Persian": ("sori", "koron"),
    "arrow": (
        "sharp-down", "sharp-up", "natural-down", "natural-up", "flat-down", "flat-up", "arrow-down", "arrow-up",
        "double-sharp-down", "double-sharp-up", "flat-flat-down", "flat-flat-up",
    ),
}  # fmt: skip
"""Families of microtonal accidentals by the standard's names (MusicXML 4.0, accidental-value)."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two tones that begin together and are meant as one note, octaves aside. cents: the first above the second."""

    first: Tone
    second: Tone
    cents: int


def bent(chair: Chair) -> bool:
    """Whether any note lies between the semitones."""
    return any(tone.sounding.cents % 100 for tone in chair.tones)


@dataclass(frozen=True)
class Meeting:
    """Two chairs of different parts at the same time, each with its tones that begin alone, by onset."""

    one: Chair
    other: Chair
    first: dict[int, Tone]
    second: dict[int, Tone]


def meetings(score: ScoreFacts, both: bool) -> Iterator[Meeting]:
    """The pairs of chairs that have time in common, one of them with notes between the semitones (both: each of them)."""
    curved = {id(chair) for chair in score.chairs if bent(chair)}
    if not curved:
        return
    lines = {id(chair): _single(chair) for chair in score.chairs}
    for number, part in enumerate(score.score.parts):
        for one in score.chairs_of(part):
            if both and id(one) not in curved:
                continue
            for following in score.score.parts[number + 1 :]:
                for other in _at_once(one, score.chairs_of(following)):
                    if id(other) in curved or (not both and id(one) in curved):
                        yield Meeting(one, other, lines[id(one)], lines[id(other)])


def _at_once(one: Chair, others: Sequence[Chair]) -> Sequence[Chair]:
    """Those of the chairs of another part, one after the other or all side by side, whose span meets this one's."""
    first = bisect_right(others, one.seat.start, key=lambda other: other.seat.end)
    return others[first : bisect_left(others, one.seat.end, key=lambda other: other.seat.start)]


def together(meeting: Meeting) -> Iterator[tuple[Pair, ...]]:
    """Bar by bar, the pairs of two single lines where they go together."""
    bars: dict[int, list[tuple[Tone, Tone]]] = {}
    first, second = meeting.first, meeting.second
    for onset in min(first, second, key=len):
        if onset in first and onset in second:
            bars.setdefault(first[onset].measure, []).append((first[onset], second[onset]))
    for measure in sorted(bars):
        pairs = [Pair(a, b, _apart(a, b)) for a, b in bars[measure]]
        close = [pair for pair in pairs if abs(pair.cents) <= WIDEST]
        if len(close) >= FEWEST and len(close) >= SHARE * len(pairs):
            yield tuple(close)


def _single(chair: Chair) -> dict[int, Tone]:
    """The tones that begin alone, by their onset."""
    found: dict[int, Tone] = {}
    crowded: set[int] = set()
    for tone in chair.tones:
        if tone.onset in found:
            crowded.add(tone.onset)
        found[tone.onset] = tone
    return {onset: tone for onset, tone in found.items() if onset not in crowded}


def _apart(one: Tone, other: Tone) -> int:
    """Cents between two tones, octaves aside: -600 to 599."""
    return (one.sounding.cents - other.sounding.cents + 600) % 1200 - 600


def systems(tones: Sequence[Tone]) -> frozenset[str]:
    """The families of microtonal accidentals that stand on these tones."""
    signs = {note.sign for tone in tones for note in tone.notes if note.sign}
    return frozenset(name for name, own in SYSTEMS.items() if not signs.isdisjoint(own))
