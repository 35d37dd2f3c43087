"""Keys struck or held at one moment, and signs that excuse them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from xmlcheck.plugin import Chair, Sonority, Tone
from xmlcheck_keyboard.facets import Keyboard

ROLLED = ("arpeggiate", "tremolo", "trill-mark", "wavy-line", "glissando")


def broken(tones: Sequence[Tone]) -> bool:
    """Whether an arpeggio sign stands on any note of the chord: what is broken is struck key by key."""
    return any(tone.has("arpeggiate") for tone in tones)


def down(sonority: Sonority, keyboard: Keyboard) -> tuple[Tone, ...]:
    """The tones whose keys need a finger: those struck; where no pedal holds what the hand has left, all that sound."""
    pedal = keyboard.sustain
    return sonority.tones if pedal is not None and not pedal.value else sonority.struck


def keys(tones: Sequence[Tone], height: Callable[[Tone], int]) -> list[int]:
    """The keys of tones, rising, each once: semitones above C-1."""
    return sorted({round(height(tone) / 100) for tone in tones})


def one_player(chair: Chair, sonority: Sonority) -> bool:
    """Whether one player surely reads all of this. Two staves and several voices are one keyboard player's as a rule."""
    return chair.players in (None, 1) and chair.for_one_player(sonority.onset)
