"""Quick alternation between strings that are no neighbours: the arm, or the plectrum, passes over the strings in between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from xmlcheck.plugin import Chair, Cited, Hit, Hits, Tone
from xmlcheck_strings.board import Board
from xmlcheck_strings.derived import Heights
from xmlcheck_strings.runs import Run, runs
from xmlcheck_strings.stringing import Stringing


def crossings(
    chair: Chair, strokes: Sequence[Tone], rate: Cited[float], stringing: Stringing, height: Heights, fewest: int
) -> Hits:
    """One hit for each run above the comfortable rate of crossings in which every step leaps over a string."""
    for run in _leaping(chair, strokes, rate.value, stringing, height, fewest):
        values = {
            "count_notes": len(run.tones),
            "rate": round(run.rate, 1),
            "before": run.tones[0].sounding,
            "after": run.tones[1].sounding,
        }
        yield Hit(at=run.tones, values=values, rests_on=(rate,))


def _leaping(
    chair: Chair, strokes: Sequence[Tone], rate: float, stringing: Stringing, height: Heights, fewest: int
) -> Iterator[Run]:
    """Every run above `rate` strokes a second in which each step leaps over a string, wherever the hand is."""
    for run in runs(chair, strokes, rate, fewest):
        board = stringing.board_at(run.tones[0].onset)
        for tones in _stretches(run.tones, board, height):
            if len(tones) >= fewest:
                seconds = chair.seconds(tones[0].onset, tones[-1].onset)
                yield Run(tones, seconds, (len(tones) - 1) / seconds)


def _stretches(tones: Sequence[Tone], board: Board, height: Heights) -> Iterator[tuple[Tone, ...]]:
    stretch = [tones[0]]
    for before, tone in pairwise(tones):
        if not leaps(board, height(before), height(tone)):
            yield tuple(stretch)
            stretch = []
        stretch.append(tone)
    yield tuple(stretch)


@lru_cache(maxsize=8192)
def leaps(board: Board, before: int, after: int) -> bool:
    """Whether no two neighbouring strings, and no one string, give both pitches within the hand's stretch."""
    grip = board.neck.grip
    ways = [(one, other) for one in board.stops(before) for other in board.stops(after)]
    if grip is None or not ways:
        return False
    return not any(
        abs(one.string - other.string) <= 1
        and (not one.stop or not other.stop or abs(board.x(one.stop) - board.x(other.stop)) <= grip.stretch_mm)
        for one, other in ways
    )
