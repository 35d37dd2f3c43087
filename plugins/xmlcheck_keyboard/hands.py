"""How wide two hands open for a chord, and how many people's hands open so far.

The middles of white keys lie a seventh of an octave apart, those of black keys above the gaps between. Hands do not cross: one
takes the lower keys, the other the upper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import erf, sqrt

from xmlcheck_keyboard.facets import Keyboard, Measured

_PLACES = (0, 0.5, 1, 1.5, 2, 3, 3.5, 4, 4.5, 5, 5.5, 6)
"""White-key widths from C to the middle of each key of an octave."""
INTERVALS = (
    "a unison", "a second", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave", "a ninth", "a tenth",
    "an eleventh", "a twelfth", "a thirteenth", "a fourteenth", "two octaves",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stretch:
    """The wider hand of the best sharing: its outer keys in semitones above C-1, and the span it needs in mm."""

    low: int
    high: int
    millimetres: float

    @property
    def interval(self) -> str:
        """In words of music, by white keys."""
        steps = round(place(self.high) - place(self.low))
        return INTERVALS[steps] if steps < len(INTERVALS) else f"{steps // 7} octaves and more"


def place(semitones: int) -> float:
    """Where a key lies, in white-key widths."""
    return 7 * (semitones // 12) + _PLACES[semitones % 12]


def span(keyboard: Keyboard, low: int, high: int) -> float:
    """Millimetres that a hand spans so that its fingers lie on both keys."""
    beyond = keyboard.reach_mm.value if keyboard.reach_mm is not None else 0.0
    return (place(high) - place(low)) * keyboard.octave_mm.value / 7 + beyond


def shared(keyboard: Keyboard, keys: Sequence[int]) -> Stretch | None:
    """The best way to share the keys (semitones, rising) between two hands; None where they have not the fingers for it.

    A thumb may take two neighbouring keys, so a hand has one key more than fingers.
    """
    most = keyboard.fingers.value + 1
    best: Stretch | None = None
    for cut in range(len(keys) + 1):
        hands = [hand for hand in (keys[:cut], keys[cut:]) if hand]
        if any(len(hand) > most for hand in hands):
            continue
        worst = max(
            (Stretch(hand[0], hand[-1], span(keyboard, hand[0], hand[-1])) for hand in hands), key=lambda s: s.millimetres
        )
        if best is None or worst.millimetres < best.millimetres:
            best = worst
    return best


def reaching(group: Measured, millimetres: float) -> float:
    """Percent of the group whose hands open at least so far, spans being spread normally about their mean."""
    return 50 * (1 - erf((millimetres - group.mean_mm) / (group.spread_mm * sqrt(2))))
