"""Sizes over the course of one part: what the part names, and what serves it best."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from operator import attrgetter

from xmlcheck.plugin import Chair, Compass, Match, Tone, mentions, says
from xmlcheck_winds.choosing import Fit, Sung, fit, ranked, summed, through
from xmlcheck_winds.facets import Fingering, Size, Sizes

REST = 3.0
"""Seconds to change instrument where the profile gives none (ours)."""


@dataclass(frozen=True, slots=True)
class Held:
    """A size in the player's hands from `start` on (ticks)."""

    start: int
    size: Size
    named: bool


@dataclass(frozen=True)
class Choice:
    """Sizes for one chair.

    named: what heading or words name, in order of time; empty where they name none. best: the sizes that serve best, changed only
    where there is time. together: how the chair lies on those. fits: every size for the whole chair, the best first. written:
    whether parts are written by fingering, so that the notes do not tell the size. height: cents under which a tone is looked up
    on the size. usual: the size to assume where nothing tells.
    """

    named: tuple[Held, ...]
    best: tuple[Held, ...]
    together: Fit
    fits: tuple[Fit, ...]
    written: bool
    height: Callable[[Tone], int]
    usual: Size

    @property
    def held(self) -> tuple[Held, ...]:
        """What is taken to be played: the named sizes, else the best."""
        return self.named or self.best

    def at(self, tick: int) -> Size:
        """The size in hand."""
        index = bisect_right(self.held, tick, key=attrgetter("start"))
        return self.held[max(0, index - 1)].size

    def fit_of(self, size: Size) -> Fit:
        """How the whole chair lies on one size."""
        return next(item for item in self.fits if item.size is size)


def told_size(size: Size) -> str:
    """The size as a part says it: its own custom plus the lowest sounding note ("dizi 1=G, lowest D5")."""
    return f"{size.title}, lowest {size.lowest.name}"


def chosen(
    chair: Chair,
    match: Match,
    sizes: Sizes,
    fingering: Fingering | None,
    compass: Compass | None,
    height: Callable[[Tone], int],
) -> Choice:
    """The sizes that a chair names, and those that serve it best."""
    usual = next(size for size in sizes.carried if size.usual)
    by_fingering = sizes.written is not None and sizes.written.value == "fingering"
    look = (lambda tone: tone.written.cents) if by_fingering else height
    named = tuple(_named(chair, match, sizes))
    if by_fingering:
        fits = tuple(ranked(_sung(chair, chair.tones, look, compass), [usual], fingering))
        best: tuple[Held, ...] = (Held(0, usual, False),)
        return Choice(tuple(Held(item.start, usual, True) for item in named), best, fits[0], fits, True, look, usual)
    tones = [tone for tone in chair.tones if tone.harmonic != "open"]
    fits = tuple(ranked(_sung(chair, tones, look, compass), sizes.carried, fingering))
    starts, free = _stretches(chair, sizes)
    parts: list[list[Tone]] = [[] for _ in starts]
    index = 0
    for tone in tones:
        while index + 1 < len(starts) and tone.onset >= starts[index + 1]:
            index += 1
        parts[index].append(tone)
    seconds = sizes.change_seconds.value if sizes.change_seconds is not None else REST
    stretches = [_sung(chair, part, look, compass) for part in parts]
    _, best_sizes = through(stretches, free, sizes.carried, fingering, seconds)
    parted = [fit(notes, size, fingering) for notes, size in zip(stretches, best_sizes, strict=True)]
    return Choice(named, tuple(_merged(starts, best_sizes)), summed(parted), fits, False, look, usual)


def _merged(starts: list[int], sizes: list[Size]) -> Iterable[Held]:
    before: Size | None = None
    for start, size in zip(starts, sizes, strict=True):
        if size is not before:
            yield Held(start, size, False)
        before = size


def _sung(chair: Chair, tones: Iterable[Tone], height: Callable[[Tone], int], compass: Compass | None) -> list[Sung]:
    """Tones as notes to be placed; what is outside every size belongs to the compass rules and has no say here."""
    low = compass.lowest.value.cents - 40 if compass is not None else None
    high = compass.highest.value.cents + 40 if compass is not None else None
    timed = chair.tempo.given
    result = []
    for tone in tones:
        cents = height(tone)
        if (low is not None and cents < low) or (high is not None and cents > high):
            continue
        result.append(Sung(cents, chair.seconds(tone.onset, tone.end) if timed else 1.0))
    return result


def _stretches(chair: Chair, sizes: Sizes) -> tuple[list[int], list[float]]:
    """Where the part may go on with another instrument (ticks), and the seconds free before each; one stretch without a tempo."""
    starts, free = [0], [0.0]
    seconds = sizes.change_seconds.value if sizes.change_seconds is not None else REST
    if chair.tempo.given:
        for start, end in chair.silences:
            length = chair.seconds(start, end)
            if length >= seconds and start > 0 and any(tone.onset >= end for tone in chair.tones[-1:]):
                starts.append(end)
                free.append(length)
    return starts, free


def _named(chair: Chair, match: Match, sizes: Sizes) -> Iterable[Held]:
    heading = named_in(chair, match, sizes)
    if heading is not None:
        yield Held(0, heading, True)
    found = [
        (direction.onset, size) for size in sizes.carried if size.words for direction in mentions(chair.directions, size.words)
    ]
    before = heading
    for onset, size in sorted(found, key=lambda item: item[0]):
        if size is not before:
            yield Held(onset if before is not None else 0, size, True)
        before = size


def named_in(chair: Chair, match: Match, sizes: Sizes) -> Size | None:
    """The size that the heading names: by its key or length, or by its words."""
    if match.key:
        keyed = next((size for size in sizes.carried if size.key == match.key), None)
        if keyed is not None:
            return keyed
    heading = " ".join(text for text in (chair.part.name, chair.part.display_name) if text)
    return next((size for size in sizes.carried if size.words and says(heading, size.words)), None)


def named_words(chair: Chair, sizes: Sizes) -> Size | None:
    """The size whose words stand in the heading or in the words of a part, whatever its instrument; the first by time."""
    heading = " ".join(text for text in (chair.part.name, chair.part.display_name) if text)
    worded = [size for size in sizes.carried if size.words]
    named = next((size for size in worded if says(heading, size.words)), None)
    if named is not None:
        return named
    found = [(direction.onset, size) for size in worded for direction in mentions(chair.directions, size.words)]
    return min(found, key=lambda item: item[0])[1] if found else None
