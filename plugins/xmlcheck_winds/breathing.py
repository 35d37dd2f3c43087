"""Breath: a tank that empties while notes sound and fills in rests, and the places where a breath can go.

The shape is that of Huron and Berec's model of trumpet playing (Empirical Musicology Review 2009, as summarised by shanahdt.github.io,
mus-345-445): a rest over a quarter of a second is a breath, a full one takes 1.3 seconds, a shorter rest fills in proportion. How
long a full tank lasts is the profile's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from xmlcheck.plugin import Breath, Chair, Cited, Tone
from xmlcheck_winds.facets import Blowing
from xmlcheck_winds.line import Line, legato_patch
from xmlcheck_winds.loudness import Loudness

CATCH, INHALE = 0.25, 1.3
STOLEN = 0.4
"""Seconds of a note's end that a breath takes where there is no rest (ours)."""
SOFT, LOUD = 1.3, 0.6
"""Share of the middle breath for soft and loud playing where the profile gives only the middle one (ours)."""
PHRASED = ("fermata", "breath-mark", "caesura")
"""Signs at which a player breathes: marked breaths, and holds, after which one begins anew (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Blown:
    """One step as it is blown, in played order. start, end: seconds from the first bar played. share: of a full breath.

    free: whether a breath can follow without cutting a slur or a short note; phrase: whether a slur ends there; marked: whether
    the part itself has a breath there.
    """

    tone: Tone
    start: float
    end: float
    share: float
    free: bool
    phrase: bool
    marked: bool


@dataclass(frozen=True, slots=True)
class Run:
    """Blowing without a rest that is longer than a breath. places: tones after which a breath can go; limit: seconds of one breath
    at this loudness; seconds: of the run."""

    tones: tuple[Tone, ...]
    seconds: float
    limit: float
    places: tuple[Tone, ...]
    inside: bool


def seconds_of(breath: Breath, level: int | None) -> Cited[float] | None:
    """How long a breath lasts at a dynamic level: p and softer, mp to f, ff and louder; middle where no dynamic is marked."""
    middle = breath.middle or breath.loud or breath.soft
    if level is None or 2 < level < 6 or middle is None:
        return middle
    given = breath.soft if level <= 2 else breath.loud
    if given is not None:
        return given
    factor = SOFT if level <= 2 else LOUD
    return Cited(middle.value * factor, middle.cite, middle.certainty, "worked out from the middle value", middle.origin)


def blown(chair: Chair, line: Line, breath: Breath, loudness: Loudness) -> list[Blown]:
    """The line as it is played through repeats and jumps, each step with the share of a breath that it takes."""
    by_bar: dict[int, list[int]] = {}
    for index, step in enumerate(line):
        by_bar.setdefault(step.tone.measure, []).append(index)
    patch = legato_patch(line)
    clock, result = 0.0, []
    measures = chair.part.measures
    for bar in chair.facts.order:
        if bar >= len(measures):
            continue
        measure = measures[bar]
        for index in by_bar.get(bar, ()):
            step = line[index]
            limit = seconds_of(breath, loudness.last(step.tone.onset))
            if limit is None or limit.value <= 0:
                continue
            start = clock + chair.seconds(measure.onset, step.tone.onset)
            joined = step.slurred and not patch
            marked = not joined and step.tone.has(*PHRASED)
            phrase = not joined and _slur_ends(step.tone)
            free = marked or (not joined and step.seconds >= STOLEN + 0.1)
            share = step.seconds / limit.value
            result.append(Blown(step.tone, start, start + step.seconds, share, free, phrase, marked))
        clock += chair.seconds(measure.onset, measure.onset + measure.length)
    return result


def _slur_ends(tone: Tone) -> bool:
    return any(mark.name == "slur" and mark.type == "stop" for note in tone.notes for mark in note.marks)


def runs(steps: Sequence[Blown], blowing: Blowing | None) -> Iterator[Run]:
    """Stretches in which the air runs out before a rest fills it again."""
    catch = blowing.catch_seconds.value if blowing is not None and blowing.catch_seconds is not None else CATCH
    inhale = blowing.inhale_seconds.value if blowing is not None and blowing.inhale_seconds is not None else INHALE
    air, begun, dry = 1.0, 0, False
    for index, step in enumerate(steps):
        air -= step.share
        dry = dry or air < -1e-9
        rest = steps[index + 1].start - step.end if index + 1 < len(steps) else float("inf")
        if rest + 1e-9 >= catch or step.marked:
            if dry:
                yield _run(steps[begun : index + 1])
            filled = 1.0 if step.marked else max(0.0, air) + rest / inhale
            air, begun, dry = min(1.0, filled), index + 1, False


def _run(steps: Sequence[Blown]) -> Run:
    seconds = steps[-1].end - steps[0].start
    share = sum(step.share for step in steps)
    limit = seconds / share if share else seconds
    marks, inside = _places(steps)
    return Run(tuple(step.tone for step in steps), seconds, limit, marks, inside)


def _places(steps: Sequence[Blown]) -> tuple[tuple[Tone, ...], bool]:
    """Fewest places for a breath, phrase ends before others, so that no stretch is longer than a breath; and whether that works."""
    ends: list[tuple[float, int | None]] = []  # (price of the best way that breathes after this step, step before)
    total = [0.0]
    for step in steps:
        total.append(total[-1] + step.share)
    for index, step in enumerate(steps):
        last = index == len(steps) - 1
        best: tuple[float, int | None] = (float("inf"), None)
        if step.free or last:
            price = 0.0 if last else 1.0 if step.phrase else 1.5
            if total[index + 1] <= 1 + 1e-9:
                best = (price, None)
            for before in range(index - 1, -1, -1):
                if total[index + 1] - total[before + 1] > 1 + 1e-9:
                    break
                if ends[before][0] + price < best[0]:
                    best = (ends[before][0] + price, before)
        ends.append(best)
    if not steps or ends[-1][0] == float("inf"):
        return _wherever(steps), False
    chosen: list[Tone] = []
    at = ends[-1][1]
    while at is not None:
        chosen.append(steps[at].tone)
        at = ends[at][1]
    return tuple(reversed(chosen)), True


def _wherever(steps: Iterable[Blown]) -> tuple[Tone, ...]:
    """The places where a breath could go at all, though they lie too far apart."""
    return tuple(step.tone for step in steps if step.free)[:-1]
