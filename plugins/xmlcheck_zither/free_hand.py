"""Whether there is time to retune: in the rest alone, or also while the other hand plays."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, lru_cache

from xmlcheck_zither.planning.matching import strings_for
from xmlcheck_zither.planning.reach import Reach
from xmlcheck_zither.planning.strings import Tuning
from xmlcheck_zither.planning.windows import Job, merged, placed
from xmlcheck_zither.uses import Struck

MOST_MOVED = 3
"""Strings that are looked for a place beside the music; more need a rest of their own."""
NEAR = 0.5
"""Seconds that a hand needs around a note that it plays (ours, no source)."""


class FreeHand:
    """The time between the stretches of a cue. seconds: for one string. right_hand: notes that the other hand plays alone."""

    def __init__(
        self, parts: Sequence[Sequence[Struck]], rests: Sequence[float], seconds: float, right_hand: int, reach: Reach
    ) -> None:
        self.parts, self.rests, self.seconds = parts, rests, seconds
        self.right_hand, self.reach = right_hand, reach
        self._used = lru_cache(maxsize=4096)(self._find_used)

    def fits(self, index: int, before: Tuning, after: Tuning, moved: int) -> bool:
        """Whether so many strings can be retuned before the stretch `index`."""
        if moved * self.seconds <= self.rests[index]:
            return True
        if moved > MOST_MOVED or moved * self.seconds > self._quiet[index]:
            return False
        last, busy = self._used(index - 1, before)
        first, more = self._used(index, after)
        begins, ends = self.parts[index - 1][0].start, self.parts[index][-1].end
        jobs = []
        for string, (old, new) in enumerate(zip(before, after, strict=True)):
            if old != new:
                release = last[string][1] if string in last else begins
                deadline = first[string][0] if string in first else ends
                jobs.append(Job(string, release, deadline))
        return not placed(jobs, self.seconds, merged([*busy, *more]))[1]

    @cached_property
    def _quiet(self) -> list[float]:
        """For each boundary the seconds of the two stretches beside it: more time there cannot be."""
        ends = [part[-1].end - part[0].start for part in self.parts]
        return [0.0, *(ends[n - 1] + ends[n] + self.rests[n] for n in range(1, len(ends)))]

    def _find_used(self, index: int, tuning: Tuning) -> tuple[dict[int, tuple[float, float]], tuple[tuple[float, float], ...]]:
        """For each string its first and last note in a stretch, and when the tuning hand is busy there."""
        used: dict[int, tuple[float, float]] = {}
        pitches, plucked = self._told[index]
        busy = list(plucked)
        for cents, times in pitches.items():
            places = strings_for(cents, tuning, self.reach)
            if not places:
                continue
            effort, string = places[0]
            first, last = used.get(string, (times[0][0], times[0][1]))
            used[string] = min(first, times[0][0]), max(last, times[-1][1])
            if effort:
                busy += [(start - NEAR / 2, max(end, start + NEAR)) for start, end in times]
        return used, tuple(busy)

    @cached_property
    def _told(self) -> list[tuple[dict[int, list[tuple[float, float]]], list[tuple[float, float]]]]:
        """For each stretch: when each pitch is played, and when the tuning hand plucks."""
        found = []
        for part in self.parts:
            pitches: dict[int, list[tuple[float, float]]] = {}
            plucked = []
            for struck in part:
                for use in struck.uses:
                    pitches.setdefault(use.cents, []).append((use.start, use.end))
                if len(struck.uses) > self.right_hand or any(use.tone.staff > 1 for use in struck.uses):
                    plucked.append((struck.start - NEAR, struck.start + NEAR))
            found.append((pitches, plucked))
        return found
