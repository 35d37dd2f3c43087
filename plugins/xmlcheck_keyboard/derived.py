"""What the rules of keyboards share, computed once a chair."""

from __future__ import annotations

from dataclasses import dataclass

from xmlcheck.plugin import Chair, Tone, derived
from xmlcheck_basics.derived import ReadAs
from xmlcheck_keyboard.facets import Keyboard
from xmlcheck_keyboard.hands import Stretch, shared
from xmlcheck_keyboard.struck import broken, down, keys


@dataclass(frozen=True)
class KeyHeight:
    """Cents of the tone under the reading of the part that fits best."""

    read: ReadAs | None

    def __call__(self, tone: Tone) -> int:
        return self.read.height(tone) if self.read is not None else tone.sounding.cents


@dataclass(frozen=True)
class Grip:
    """The chords of a part that two hands have to take at once: the tones, and the best way to share them (None: no way)."""

    chords: tuple[tuple[tuple[Tone, ...], Stretch | None], ...]


@derived
def key_height(read: ReadAs | None) -> KeyHeight:
    """The part's reading, or the file's own pitches."""
    return KeyHeight(read)


@derived
def grip(chair: Chair, keyboard: Keyboard, height: KeyHeight) -> Grip:
    """Every moment at which three keys or more need fingers; broken chords are left out."""
    found = []
    for sonority in chair.sonorities:
        tones = down(sonority, keyboard)
        if len(tones) > 2 and not broken(sonority.struck):
            found.append((tones, shared(keyboard, keys(tones, height))))
    return Grip(tuple(found))
