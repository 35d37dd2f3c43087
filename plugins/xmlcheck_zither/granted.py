"""What strings can be given at all: every tuning that players grant, or that has to be asked for, and every press."""

from __future__ import annotations

from collections.abc import Sequence

from xmlcheck.plugin import Vouched
from xmlcheck_zither.facets import Pressing, Retuning, StringSet
from xmlcheck_zither.zithers import reach_of


class Granted:
    """The range of each string over all its tunings and presses, in cents. Generous: what cannot be here cannot be at all."""

    def __init__(self, strings: StringSet, retuning: Retuning | None, pressing: Pressing | None) -> None:
        self._reach = reach_of(pressing)
        self._fixed = retuning is None
        lower = strings.moved_down.value if strings.moved_down is not None else 0.0
        higher = strings.moved_up.value if strings.moved_up is not None else 0.0
        if retuning is not None:
            lower = max(lower + retuning.down.value, retuning.ask_down.value if retuning.ask_down is not None else 0)
            higher = max(higher + retuning.up.value, retuning.ask_up.value if retuning.ask_up is not None else 0)
        self._ranges = []
        self._few: dict[tuple[int, ...], bool] = {}
        for index in range(len(strings.usual.pitches)):
            pitches = [tuning.pitches[index].cents for tuning in strings.tunings]
            self._ranges.append((min(pitches) - round(100 * lower), max(pitches) + round(100 * higher)))

    @property
    def pressed(self) -> float:
        """Semitones that a string is pressed at most."""
        return max(self._reach.up, self._reach.limit) / 100

    def _serves(self, string: int, pitch: int) -> bool:
        low, high = self._ranges[string]
        if self._fixed and low == high:
            return self._reach.effort(pitch - low) is not None
        near = self._reach.tolerance
        return low - self._reach.down - near <= pitch <= high + max(self._reach.up, self._reach.limit) + near

    def gives(self, pitch: int) -> bool:
        """Whether any string gives this pitch in any tuning."""
        return any(self._serves(string, pitch) for string in range(len(self._ranges)))

    def too_few(self, pitches: Sequence[int]) -> bool:
        """Whether these pitches together need more strings than reach them, in every tuning (no matching serves them all)."""
        key = tuple(sorted(set(pitches)))
        if key not in self._few:
            self._few[key] = not self._all_served(key)
        return self._few[key]

    def _all_served(self, pitches: Sequence[int]) -> bool:
        holder: dict[int, int] = {}
        wanted = [[s for s in range(len(self._ranges)) if self._serves(s, pitch)] for pitch in pitches]

        def place(note: int, tried: set[int]) -> bool:
            for string in wanted[note]:
                if string not in tried:
                    tried.add(string)
                    if string not in holder or place(holder[string], tried):
                        holder[string] = note
                        return True
            return False

        return all(place(note, set()) for note in range(len(wanted)))


def grounds(strings: StringSet, retuning: Retuning | None, pressing: Pressing | None) -> tuple[Vouched, ...]:
    """All values that a claim about every tuning rests on."""
    found: list[Vouched | None] = [strings.usual, strings.moved_down, strings.moved_up]
    if retuning is not None:
        found += [retuning.up, retuning.down, retuning.ask_up, retuning.ask_down, retuning.in_cue]
    if pressing is not None:
        found += [pressing.up, pressing.limit, pressing.down]
    return tuple(value for value in found if value is not None)


def shown(text: str) -> str:
    """A statement of the part, short enough for a message."""
    return text if len(text) <= 60 else text[:57] + "..."
