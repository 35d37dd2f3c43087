"""Lines and silences: how tones follow one another, and when the player is free."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from xmlcheck.facts.tones import Tone
from xmlcheck.model import CUE, HIDDEN, SILENT, Note


def lines(tones: Sequence[Tone]) -> tuple[tuple[Tone, ...], ...]:
    """The tones voice by voice, each in order of onset.

    A voice keeps its line when it changes staff. Some files use the voice numbers again on each staff: where two notes that are
    no chord begin at once on two staves, the voice has a line on each.
    """
    begun: dict[tuple[str, int], int] = {}
    reused: set[str] = set()
    for tone in tones:
        if not tone.first.chord and begun.setdefault((tone.voice, tone.onset), tone.staff) != tone.staff:
            reused.add(tone.voice)
    voices: dict[tuple[str, int], list[Tone]] = {}
    for tone in tones:
        voices.setdefault((tone.voice, tone.staff if tone.voice in reused else 0), []).append(tone)
    return tuple(tuple(voice) for voice in voices.values())


def silences(notes: Iterable[Note], start: int, end: int) -> tuple[tuple[int, int], ...]:
    """Stretches (start, end) in ticks between `start` and `end` in which nothing is played.

    All that a player plays ends a silence, also what is no tone: slashes, x heads, unpitched notes, grace notes. Cue notes and
    what is not printed do not.
    """
    result, reached = [], start
    for note in notes:
        if note.flags & (CUE | HIDDEN | SILENT):
            continue
        if note.onset > reached:
            result.append((reached, min(note.onset, end)))
        reached = max(reached, note.end)
    if reached < end:
        result.append((reached, end))
    return tuple(result)
