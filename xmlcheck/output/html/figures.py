"""The picture of a finding: which bars are shown, what is marked, and the same in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from xmlcheck import engrave
from xmlcheck.engrave import Mark
from xmlcheck.excerpt import Excerpts
from xmlcheck.finding import Finding
from xmlcheck.output.html.words import DASH, signs

BARS = 2
"""Bars in a picture."""
_FEW = 6
"""Notes and rests: a bar with fewer is shown with the one after it."""


@dataclass(frozen=True, slots=True)
class Figure:
    """svg: a picture from our own drawing, safe to stand in the page as it is. caption: which bars, at which pitch."""

    svg: Markup
    caption: str


class Engraver:
    """Draws findings of one score, and collects the outlines that its pictures use. excerpts: None where there is no score.

    undrawn: why there is no picture, by number of the finding, where the engraver failed over it.
    """

    def __init__(self, excerpts: Excerpts | None) -> None:
        self._excerpts = excerpts if excerpts is not None and engrave.available() else None
        self.glyphs: dict[str, str] = {}
        self.undrawn: dict[int, str] = {}
        self.clefs = engrave.clefs() if engrave.available() else {}
        self.count = 0

    def bars(self, finding: Finding) -> tuple[int, ...]:
        """The bar indices in which something of a finding stands; without a score its first and last."""
        place = finding.place
        if place.measure_index is None:
            return ()
        ends = {place.measure_index}
        if self._excerpts is not None and finding.part is not None:
            found = (self._excerpts.measure(finding.part, note.anchor) for note in finding.notes if note.anchor is not None)
            ends |= {index for index in found if index is not None}
        elif place.to_measure_index is not None:
            ends.add(place.to_measure_index)
        return tuple(sorted(ends))

    def figure(self, finding: Finding) -> Figure | None:
        """The picture of one finding; None where there is no score, no bar, or no engraver."""
        bars = self.bars(finding)
        if self._excerpts is None or finding.part is None or not bars:
            return None
        first = bars[0]
        last = max((index for index in bars if index < first + BARS), default=first)
        if last == first and finding.place.to_measure_index is None and self._excerpts.size(finding.part, first) < _FEW:
            last = first + BARS - 1
        excerpt = self._excerpts.make(finding.part, first, last)
        if excerpt is None:
            return None
        at = None
        if finding.place.anchor is not None:
            at = self._excerpts.following(finding.part, finding.place.anchor)
        names = tuple(f"a{note.anchor}" for note in finding.notes if note.anchor is not None)
        mark = Mark(names, finding.grade, f"{finding.number} · {signs(finding.label)}", at)
        shown = bars_text(excerpt.bars)
        heads = [signs(note.written) for note in finding.notes if note.written and f"a{note.anchor}" in excerpt.ids]
        title = f"{shown}: " + (f"marked {', '.join(heads)}" if heads else signs(finding.label))
        drawn = engrave.picture(excerpt, (mark,), title)
        if drawn is None:
            if why := engrave.lost(excerpt):
                self.undrawn[finding.number] = why
            return None
        self.glyphs |= drawn.glyphs
        self.count += 1
        return Figure(Markup(drawn.svg), _caption(shown, excerpt.semitones, self._elsewhere(finding, bars, last)))

    def outlines(self) -> Markup:
        """The outlines of all pictures made so far, to stand once in the page."""
        return Markup(engrave.outlines(self.glyphs))

    def _elsewhere(self, finding: Finding, bars: tuple[int, ...], last: int) -> str:
        numbers = self._excerpts.bars(finding.part) if self._excerpts is not None and finding.part is not None else ()
        return ", ".join(_runs([index for index in bars if index > last], numbers))


def _caption(shown: str, semitones: float, elsewhere: str) -> str:
    text = f"{shown[:1].upper()}{shown[1:]}, as written"
    if semitones:
        size, way = abs(semitones), "higher" if semitones > 0 else "lower"
        text += f"; sounds {size:g} semitone{'' if size == 1 else 's'} {way}"
    if elsewhere:
        text += f". Also in bar{'s' if ',' in elsewhere or DASH in elsewhere else ''} {elsewhere}"
    return f"{text}."


def bars_text(numbers: tuple[str, ...]) -> str:
    """`bar 3` or `bars 3-4` with a dash."""
    ends = [signs(number) or "?" for number in dict.fromkeys((numbers[0], numbers[-1]))]
    return f"bar {ends[0]}" if len(ends) == 1 else f"bars {ends[0]}{DASH}{ends[1]}"


def _runs(indices: Iterable[int], numbers: tuple[str, ...]) -> Iterable[str]:
    """Bar indices as runs of bar numbers: 3, 4, 5, 9 as `3-5` and `9`."""
    runs: list[list[int]] = []
    for index in indices:
        if runs and runs[-1][-1] == index - 1:
            runs[-1].append(index)
        else:
            runs.append([index])
    for run in runs:
        ends = [signs(numbers[index]) or str(index + 1) for index in (run[0], run[-1])]
        yield ends[0] if len(run) == 1 else f"{ends[0]}{DASH}{ends[1]}"
