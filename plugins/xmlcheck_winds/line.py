"""The melody of one player: its steps in order, in cents and seconds, and what joins them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from xmlcheck.plugin import Chair, Tone

ARTICULATED = ("staccato", "staccatissimo", "accent", "strong-accent", "tenuto", "detached-legato", "spiccato", "breath-mark")
PATCH_SHARE, PATCH_NOTES = 0.9, 16
"""From this share of joined notes on, in so many notes, none of them articulated, slurs tell of a patch, not of phrases (ours)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One tone of a line. cents: height under the reading taken. start, end: seconds, in written order.

    gap: seconds to the next onset of the line, its own length where a rest or nothing follows. slurred: whether a slur joins it
    to the next step. meets: whether the next step follows without a rest.
    """

    tone: Tone
    cents: int
    start: float
    end: float
    gap: float
    slurred: bool
    meets: bool

    @property
    def seconds(self) -> float:
        return self.end - self.start

    @property
    def rate(self) -> float:
        """Notes a second at this place; 0 for a note without length."""
        return 1 / self.gap if self.gap > 0 else 0.0


Line = tuple[Step, ...]


def lines(chair: Chair, height: Callable[[Tone], int]) -> tuple[Line, ...]:
    """The lines of a chair, one a voice; of a chord its highest tone stands for the line."""
    return tuple(_line(chair, _melody(voice), height) for voice in chair.lines)


def _melody(voice: Iterable[Tone]) -> list[Tone]:
    """The tones one after the other: of several that begin together the highest, harmonics of unknown pitch left out."""
    result: list[Tone] = []
    for tone in voice:
        if tone.harmonic == "open" or tone.duration <= 0:
            continue
        if result and result[-1].onset == tone.onset:
            if tone.sounding.cents > result[-1].sounding.cents:
                result[-1] = tone
        else:
            result.append(tone)
    return result


def _line(chair: Chair, tones: Sequence[Tone], height: Callable[[Tone], int]) -> Line:
    joined = slurs(tones)
    ends = [min(tone.end, following.onset) for tone, following in pairwise(tones)] + [tone.end for tone in tones[-1:]]
    clock = chair.tempo.seconds
    steps = []
    for index, tone in enumerate(tones):
        start, end = clock(tone.onset), clock(ends[index])
        meets = index + 1 < len(tones) and tones[index + 1].onset <= ends[index]
        gap = clock(tones[index + 1].onset) - start if meets else end - start
        steps.append(Step(tone, height(tone), start, end, gap, index in joined, meets))
    return tuple(steps)


def slurs(tones: Sequence[Tone]) -> frozenset[int]:
    """Indices of the tones that a slur joins to the next one. Slurs that never end, or never began, join nothing."""
    joined: set[int] = set()
    begun: dict[str, int] = {}
    for index, tone in enumerate(tones):
        marks = [mark for note in tone.notes for mark in note.marks if mark.name == "slur"]
        for mark in marks:
            if mark.type == "stop" and mark.number in begun:
                joined.update(range(begun.pop(mark.number), index))
        for mark in marks:
            if mark.type == "start":
                begun[mark.number] = index
    return frozenset(joined)


def legato_patch(line: Line) -> bool:
    """Whether the slurs of a line are those of a sustained patch: all notes joined, none articulated."""
    pairs = [step for step in line if step.meets]
    if len(pairs) < PATCH_NOTES or sum(step.slurred for step in pairs) < PATCH_SHARE * len(pairs):
        return False
    return not any(step.tone.has(*ARTICULATED) for step in line)


def slides(line: Line) -> list[tuple[Step, Step]]:
    """Pairs of steps that a glissando or slide joins, by its number."""
    begun: dict[tuple[str, str], Step] = {}
    found: list[tuple[Step, Step]] = []
    for step in line:
        marks = [mark for note in step.tone.notes for mark in note.marks if mark.name in ("glissando", "slide")]
        for mark in marks:
            if mark.type == "stop" and (mark.name, mark.number) in begun:
                found.append((begun.pop((mark.name, mark.number)), step))
        for mark in marks:
            if mark.type == "start":
                begun[mark.name, mark.number] = step
    return found
