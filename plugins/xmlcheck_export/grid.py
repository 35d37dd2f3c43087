"""Which grid explains played onsets, and what a bar becomes on it.

Every beat takes the division that explains its onsets best: mean distance plus a small price for a finer division, so that
noise does not buy a finer grid (the idea of Cemgil, Desain and Kappen, Computer Music Journal 24, 2000: likelihood of timing
times a preference for simple rhythm). The prices are engineering choices.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor, gcd

PRICES = {1: 0.0, 2: 0.02, 4: 0.05, 3: 0.05, 8: 0.10, 6: 0.10}
"""Divisions of a quarter note that players read at sight, with their price in quarter notes of timing error."""
CLASH = 1.0
"""Price of two onsets that would fall on one place."""
GRIDS = frozenset((1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48))
"""Denominators of a quarter note at which written music begins notes; tuplets of five, seven and more show their ratio."""


def denominator(ticks: int, resolution: int) -> int:
    """The denominator of a position in quarter notes, in lowest terms."""
    return resolution // gcd(ticks, resolution)


def on_grid(ticks: int, resolution: int) -> bool:
    """Whether a position is one at which written music begins notes."""
    return denominator(ticks, resolution) in GRIDS


@dataclass(frozen=True, slots=True)
class Fit:
    """Onsets on their best grid. places: each onset moved, in quarters. divisions: by beat. error: mean move in quarters."""

    places: tuple[Fraction, ...]
    divisions: tuple[tuple[int, int], ...]
    error: float

    @property
    def finest(self) -> tuple[int, ...]:
        """The divisions used, each once, coarse to fine."""
        return tuple(sorted({division for _, division in self.divisions}))


def fit(onsets: Sequence[Fraction]) -> Fit:
    """The best grid for onsets in quarter notes, sorted. Equal onsets (chords) move together."""
    beats: dict[int, list[Fraction]] = {}
    for onset in dict.fromkeys(onsets):
        beats.setdefault(floor(onset), []).append(onset)
    moved: dict[Fraction, Fraction] = {}
    divisions = []
    for beat, own in sorted(beats.items()):
        best = min(PRICES, key=lambda division: _price(own, division))
        divisions.append((beat, best))
        moved |= {onset: _nearest(onset, best) for onset in own}
    error = sum(abs(float(onset - moved[onset])) for onset in onsets) / len(onsets) if onsets else 0.0
    return Fit(tuple(moved[onset] for onset in onsets), tuple(divisions), error)


def _price(onsets: Sequence[Fraction], division: int) -> float:
    places = [_nearest(onset, division) for onset in onsets]
    moves = sum(abs(float(onset - place)) for onset, place in zip(onsets, places, strict=True))
    return moves + PRICES[division] + CLASH * (len(places) - len(set(places)))


def _nearest(onset: Fraction, division: int) -> Fraction:
    return Fraction(round(onset * division), division)


def coarsest(onsets: Sequence[Fraction]) -> int:
    """The median over onsets of the coarsest division each falls on, 0 where it falls on none up to 48: how played a line is.

    After the measure of the GigaMIDI dataset (Lee and others, 2025, arXiv 2502.17726), median metric level of onsets.
    """
    levels = sorted(onset.denominator if onset.denominator in GRIDS else 1 << 20 for onset in onsets)
    middle = levels[len(levels) // 2] if levels else 1
    return 0 if middle == 1 << 20 else middle
