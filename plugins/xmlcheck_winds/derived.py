"""Values that the rules on winds and voices share, computed once a chair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from xmlcheck.plugin import Chair, Compass, Match, Tone, derived
from xmlcheck_basics.derived import ReadAs
from xmlcheck_winds.classes import OUTSIDE, Fingered, classed, fingered, place
from xmlcheck_winds.facets import Fingering, Size, Sizes
from xmlcheck_winds.line import Line, Step, legato_patch, lines, slides
from xmlcheck_winds.loudness import LEVELS, Loudness, loudness_of
from xmlcheck_winds.sizing import Choice, Held, chosen, told_size

__all__ = [
    "LEVELS",
    "OUTSIDE",
    "Choice",
    "Fingers",
    "Held",
    "Line",
    "Lines",
    "Loudness",
    "Step",
    "legato_patch",
    "slides",
    "told_size",
]

Height = Callable[[Tone], int]


@dataclass(frozen=True)
class Lines:
    """The lines of a chair, one a voice. timed: whether the file gives a tempo; without one nothing is said about speed."""

    lines: tuple[Line, ...]
    timed: bool

    @property
    def fast(self) -> tuple[Line, ...]:
        """The lines, for what depends on time; none where the file gives no tempo."""
        return self.lines if self.timed else ()


@derived
def melody(chair: Chair, read: ReadAs | None) -> Lines:
    """The lines under the reading that the file leaves, or the sounding pitch of the file where the profile has no compass."""
    return Lines(lines(chair, read.height if read is not None else _sounding), chair.tempo.given)


@derived
def loudness(chair: Chair) -> Loudness:
    """The dynamics of the part."""
    return loudness_of(chair)


@derived
def choice(
    chair: Chair, match: Match, sizes: Sizes, fingering: Fingering | None, compass: Compass | None, read: ReadAs | None
) -> Choice:
    """The sizes that the part names, and those that serve it best."""
    return chosen(chair, match, sizes, fingering, compass, read.height if read is not None else _sounding)


@dataclass(frozen=True)
class Fingers:
    """How each note is fingered, on the size in hand where there are several. height: cents under the reading taken."""

    fingering: Fingering
    lowest: int
    choice: Choice | None
    height: Height

    def of(self, tone: Tone, cents: int | None = None) -> Fingered:
        """How a tone is made, or another pitch in its place (cents under the reading taken)."""
        size, looked = self.size(tone), self._looked_up(tone, cents)
        if size is None:
            return classed(self.fingering.rows, place(looked, self.lowest))
        return fingered(self.fingering, size, looked)

    def place(self, tone: Tone, cents: int | None = None) -> int:
        """Semitones above the lowest note of the instrument in hand, a quarter-tone counting to the semitone above."""
        size = self.size(tone)
        return place(self._looked_up(tone, cents), self.lowest if size is None else size.lowest.cents)

    def size(self, tone: Tone) -> Size | None:
        """The size in hand; None where the instrument has one only."""
        return self.choice.at(tone.onset) if self.choice is not None else None

    def _looked_up(self, tone: Tone, cents: int | None) -> int:
        """The pitch as it is looked up: parts written by fingering are looked up as written."""
        own = self.height(tone)
        moved = self.choice.height(tone) - own if self.choice is not None else 0
        return (own if cents is None else cents) + moved


@derived
def fingers(fingering: Fingering, compass: Compass, choice: Choice | None, read: ReadAs | None) -> Fingers:
    """The fingerings of the instrument in hand; places count from the lowest note of the compass where there are no sizes."""
    return Fingers(fingering, compass.lowest.value.cents, choice, read.height if read is not None else _sounding)


def _sounding(tone: Tone) -> int:
    return tone.sounding.cents
