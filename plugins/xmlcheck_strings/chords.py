"""Notes that sound together, looked at once for all chord rules: which fingering comes closest, and what it lacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from xmlcheck.plugin import Grade, Sonority, Tone
from xmlcheck_strings.board import Board
from xmlcheck_strings.shapes import Shape, best, shared


@dataclass(frozen=True, slots=True)
class Chord:
    """Notes that one hand has to sound together. tones: in rising order, one for each pitch; heights: their cents.

    held: whether some of them were struck before and are still to sound under the bow. bowed: whether a bow sounds them;
    side_by_side: whether they then need neighbouring strings. shape: what comes closest, None where two notes have one string
    between them (`crowded`) or one has none (`missing`). one: whether surely a single player reads them.
    """

    sonority: Sonority
    tones: tuple[Tone, ...]
    heights: tuple[int, ...]
    board: Board
    bowed: bool
    side_by_side: bool
    one: bool
    shape: Shape | None
    missing: tuple[Tone, ...] = ()
    crowded: tuple[Tone, ...] = ()
    held: bool = False

    @property
    def at(self) -> tuple[Tone, ...]:
        """Its tones, those struck here first: that is where it stands."""
        return tuple(sorted(self.tones, key=lambda tone: tone.onset < self.onset))

    def height_of(self, tone: Tone) -> int:
        """Cents of one of its tones."""
        return self.heights[self.tones.index(tone)]

    @property
    def cap(self) -> Grade | None:
        """The highest grade of what is said of the chord: a query where it may be divided, is rolled, or runs into another note."""
        return None if self.one and not self.rolled and not self.held else Grade.QUERY

    @property
    def rolled(self) -> bool:
        """Whether a sign says that the notes come one after the other."""
        return any(tone.has("arpeggiate") for tone in self.tones)

    @property
    def onset(self) -> int:
        return self.sonority.onset


class Finder:
    """Finds chords' shapes on one board, each chord once."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self._shapes: dict[tuple[tuple[int, ...], bool], Shape | None] = {}
        self._masks: dict[tuple[tuple[int, ...], bool], int] = {}

    def shape(self, heights: tuple[int, ...], bowed: bool) -> Shape | None:
        """The closest shape: on neighbouring strings under the bow, where there is one at all."""
        key = (heights, bowed)
        if key not in self._shapes:
            found = best(self.board, heights, bowed)
            if found is None and bowed:
                found = best(self.board, heights)
            if found is None:
                found = next((shape for fewer in self._fewer(heights) if (shape := best(self.board, fewer))), None)
            self._shapes[key] = found
        return self._shapes[key]

    def _fewer(self, heights: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        """The chord without notes that others of its notes bring along: one octave course sounds both. Each such chord once.

        No more notes go than octave courses bring, and nothing is tried where that leaves more notes than there are strings.
        """
        intervals = {
            other - opened for opened, also in zip(self.board.open, self.board.also, strict=True) for other in also
        } - {0}
        brought = sum(len(also) for also in self.board.also)
        if len(heights) - brought <= len(self.board.open):
            yield from _without(heights, intervals, brought, set())

    def places(self, heights: tuple[int, ...], bowed: bool) -> int:
        """Places of the first finger from which the chord can be held, as bits; 0 where it cannot, or nothing is measured."""
        key = (heights, bowed)
        found = self._masks.get(key)
        if found is None:
            found = self._masks[key] = self._places(self.shape(heights, bowed))
        return found

    def _places(self, shape: Shape | None) -> int:
        board, grip = self.board, self.board.neck.grip
        held = [stop.stop for stop in shape.stops if stop.stop] if shape is not None else []
        if shape is None or not shape.fits or grip is None:
            return 0
        if not held or not board.neck.scale_mm:
            return board.anywhere
        limit = grip.reach_mm if shape.span_mm <= grip.reach_mm else grip.stretch_mm + 1
        return board.places(min(held), max(held), limit)

    def crowded(self, heights: Sequence[int]) -> tuple[int, ...]:
        """The pitches that share too few strings; none where octave courses sound several of them at once."""
        if any(not shared(self.board, fewer) for fewer in self._fewer(tuple(heights))):
            return ()
        return shared(self.board, heights)


def _without(heights: tuple[int, ...], intervals: set[int], most: int, seen: set[tuple[int, ...]]) -> Iterator[tuple[int, ...]]:
    """The chord without one, two ... at most `most` notes that stand one of the intervals from another; those seen are left out."""
    for height in heights if most else ():
        fewer = tuple(item for item in heights if item != height)
        if fewer not in seen and any(height - interval in heights for interval in intervals):
            seen.add(fewer)
            yield fewer
            yield from _without(fewer, intervals, most - 1, seen)
