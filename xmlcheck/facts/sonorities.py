"""Sonorities: which tones sound together, by one sweep over starts and ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from xmlcheck.facts.tones import Tone
from xmlcheck.quick import quick


@dataclass(frozen=True, slots=True)
class Sonority:
    """A stretch of time in which the same tones sound. `struck`: those that begin at its start."""

    onset: int
    end: int
    tones: tuple[Tone, ...]
    struck: tuple[Tone, ...]

    @property
    def measure(self) -> int:
        return self.struck[0].measure

    @property
    def anchor(self) -> int:
        return self.struck[0].anchor

    @property
    def pitches(self) -> int:
        """How many different sounding pitches."""
        return 1 if len(self.tones) == 1 else len({tone.sounding.cents for tone in self.tones})


_sonority = quick(Sonority)


def sonorities(tones: Sequence[Tone]) -> tuple[Sonority, ...]:
    """One sonority for each onset at which something begins; a tone that ends at an onset is no longer in it.

    tones must be sorted by onset; those without length sound nothing. Cost is linear in tones times those that sound at once.
    """
    result: list[Sonority] = []
    sounding: list[Tone] = []
    lasting = [tone for tone in tones if tone.end > tone.onset]
    index, total = 0, len(lasting)
    while index < total:
        onset = lasting[index].onset
        start = index
        while index < total and lasting[index].onset == onset:
            index += 1
        struck = lasting[start:index]
        sounding = [tone for tone in sounding if tone.end > onset] + struck
        end = min(tone.end for tone in sounding)
        if index < total:
            end = min(end, lasting[index].onset)
        result.append(_sonority(onset, end, tuple(sounding), tuple(struck)))
    return tuple(result)
