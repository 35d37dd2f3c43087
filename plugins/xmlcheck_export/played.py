"""How a line was played: which onsets lie on no grid, which grid explains them, what each bar becomes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from xmlcheck.plugin import Chair, Tone
from xmlcheck_export.grid import coarsest, fit, on_grid
from xmlcheck_export.values import HAIR, told

FEWEST, SHARE = 3, 0.02
"""So many onsets, and so large a share of all, lie off every grid before a line counts as played in (engineering choice)."""


@dataclass(frozen=True)
class Bar:
    """One bar with onsets off every grid: its index, those tones, and its tones on the best grid in words, in quarter notes."""

    index: int
    off: tuple[Tone, ...]
    becomes: str


@dataclass(frozen=True)
class Timing:
    """bars: those with notes off every grid. share: of all tones. divisions: of a beat, that explain these bars best.

    error: mean distance to that grid in quarter notes. level: the median of the coarsest divisions on which onsets fall, 0: none.
    """

    bars: tuple[Bar, ...] = ()
    share: float = 0.0
    divisions: tuple[int, ...] = ()
    error: float = 0.0
    level: int = 1

    @property
    def played(self) -> bool:
        """Whether the line was played in and not put on a grid."""
        return sum(len(bar.off) for bar in self.bars) >= FEWEST and self.share > SHARE


def timing_of(chair: Chair) -> Timing:
    """The timing of a chair. Tuplets show their ratio and are another matter."""
    resolution, measures = chair.facts.score.resolution, chair.part.measures
    off: dict[int, list[Tone]] = {}
    plain = [tone for tone in chair.tones if tone.first.ratio is None]
    for tone in plain:
        if not on_grid(tone.onset - measures[tone.measure].onset, resolution):
            off.setdefault(tone.measure, []).append(tone)
    if not off:
        return Timing()
    share = sum(len(tones) for tones in off.values()) / len(plain)
    if sum(len(tones) for tones in off.values()) < FEWEST or share <= SHARE:
        return Timing(share=share)
    bars, divisions, errors = [], set[int](), list[float]()
    by_bar: dict[int, list[Tone]] = {}
    for tone in plain:
        by_bar.setdefault(tone.measure, []).append(tone)
    for index, tones in sorted(off.items()):
        start = measures[index].onset
        onsets = [Fraction(tone.onset - start, resolution) for tone in by_bar[index]]
        best = fit(onsets)
        divisions |= set(best.finest)
        errors.append(best.error)
        bars.append(Bar(index, tuple(tones), _words(by_bar[index], best.places, start, resolution, measures[index].length)))
    level = coarsest([Fraction(tone.onset - measures[tone.measure].onset, resolution) for tone in plain])
    return Timing(tuple(bars), share, tuple(sorted(divisions)), sum(errors) / len(errors), level)


def _words(tones: Sequence[Tone], places: Sequence[Fraction], start: int, resolution: int, length: int) -> str:
    """A bar on its grid: pitch and length of each note, rests between, in quarter notes."""
    end_of_bar = Fraction(length, resolution)
    names: dict[Fraction, list[str]] = {}
    ends: dict[Fraction, Fraction] = {}
    for tone, place in zip(tones, places, strict=True):
        names.setdefault(place, []).append(tone.written.name)
        ends[place] = max(ends.get(place, place), Fraction(tone.end - start, resolution))
    order = sorted(names)
    pieces, reached = [], Fraction(0)
    for place, following in zip(order, [*order[1:], end_of_bar], strict=True):
        if place > reached:
            pieces.append(f"rest {told(place - reached)}")
        end = min(ends[place], following)
        if following - end <= HAIR:  # the hair before the next note is residue of playing
            end = following
        else:
            end = max(min(Fraction(round(end * 4), 4), following), place + min(Fraction(1, 4), following - place))
        pieces.append(f"{'+'.join(names[place])} {told(end - place)}")
        reached = end
    if reached < end_of_bar:
        pieces.append(f"rest {told(end_of_bar - reached)}")
    return ", ".join(pieces)
