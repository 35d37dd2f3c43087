"""Figures of very short notes that are ornaments of a main note: wavers, turns, slides.

What counts as very short, and how many notes make a figure, are engineering choices; the figures are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from xmlcheck.plugin import Tone

SHORTEST = Fraction(1, 8)
"""Quarter notes: up to a 32nd note."""
MAIN = Fraction(1, 2)
"""Quarter notes that the main note, or the whole waver, lasts at least."""
TONE = 250
"""Cents up to which two notes are neighbours: a tone and a little more."""
WAVER, TURN, SLIDE, SLIDE_SPAN = 5, 4, 3, 250

Figure = tuple[str, Sequence[Tone], Tone]
"""Its kind, its notes, and the note that it ornaments."""


def figures(line: Sequence[Tone], resolution: int) -> Iterator[Figure]:
    """The ornaments in one voice, in order."""
    index = 0
    while index < len(line):
        run = _run(line, index, resolution)
        following = line[index + len(run)] if index + len(run) < len(line) else None
        adjoining = following if run and following is not None and following.onset <= run[-1].end else None
        found = _figure(run, adjoining, resolution) if len(run) >= SLIDE else None
        if found is not None:
            yield found
        index += max(1, len(run))


def _run(line: Sequence[Tone], index: int, resolution: int) -> Sequence[Tone]:
    """The very short notes from here that follow one another without a gap."""
    end = index
    while end < len(line) and line[end].duration <= SHORTEST * resolution:
        if end > index and line[end].onset > line[end - 1].end:
            break
        end += 1
    return line[index:end]


def _figure(run: Sequence[Tone], following: Tone | None, resolution: int) -> Figure | None:
    heights = [tone.sounding.cents for tone in run]
    steps = [second - first for first, second in pairwise(heights)]
    if any(abs(step) > TONE or not step for step in steps):
        return None
    main = following if following is not None and following.duration >= MAIN * resolution else None
    lasting = run[-1].end - run[0].onset
    if len(set(heights)) == 2 and len(run) >= WAVER and (main is not None or lasting >= MAIN * resolution):
        low = main if main is not None and main.sounding.cents in heights else run[0]
        return "waver", run, low
    if main is None:
        return None
    if (all(step > 0 for step in steps) or all(step < 0 for step in steps)) and len(run) >= SLIDE:
        way = main.sounding.cents - heights[0]
        closes = 0 < abs(main.sounding.cents - heights[-1]) <= TONE and way * steps[0] > 0
        if closes and abs(way) >= SLIDE_SPAN and max(map(abs, steps)) <= 150:
            return "slide", run, main
    if len(run) >= TURN and len(set(heights)) == 3 and abs(main.sounding.cents - heights[-1]) <= TONE and len(run) <= 6:
        return "turn", run, main
    return None
