"""Which part file is for which line of the score: by music, name and instrument. The weights are ours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from xmlcheck.handing import naming
from xmlcheck.handing.content import Content, covered, likeness, union
from xmlcheck.handing.reading import Music, called
from xmlcheck.model import Part
from xmlcheck.partname import PartName, fold, part_name

MUSIC, NAME, STEM, INSTRUMENT = 0.6, 0.5, 0.2, 0.15
ENOUGH = 0.4
"""From which sum on a part is paired with a line: the same name alone, or music that is two thirds the same."""
SHARED = 0.6
"""Share of a part's notes that must stand in a line for it to be one of several parts of that line (ours)."""

WHOLE = 0.8
"""Share of a line's notes that must stand in a part that is read by its player too (ours)."""


@dataclass(frozen=True, slots=True)
class Stave:
    """One part of a score or of a part file, as one candidate of the pairing."""

    music: Music
    index: int

    @property
    def part(self) -> Part:
        return self.music.score.parts[self.index]

    @property
    def content(self) -> Content:
        return self.music.contents[self.index]

    @property
    def name(self) -> str:
        return called(self.part)

    @property
    def instrument(self) -> str | None:
        return self.music.instrument(self.index)


@dataclass(slots=True)
class Pair:
    """Lines of the score and the parts that make them: usually one and one. evidence: by what they were paired."""

    lines: list[Stave]
    parts: list[Stave] = field(default_factory=list)
    evidence: str = ""

    def both(self) -> tuple[Content, Content]:
        """What the lines sound together, and what the parts do."""
        return union(one.content for one in self.lines), union(one.content for one in self.parts)


@dataclass(frozen=True, slots=True)
class Pairing:
    """The outcome. doubles: (part, the part that is there already). extra: parts of no line."""

    pairs: tuple[Pair, ...]
    doubles: tuple[tuple[Stave, Stave], ...]
    extra: tuple[Stave, ...]


def pair(score: Music, files: Sequence[Music]) -> Pairing:
    """Pairs every part of the files with the lines of the score."""
    pairs = [Pair([Stave(score, index)]) for index in range(len(score.score.parts))]
    parts = [Stave(file, index) for file in files for index in range(len(file.score.parts))]
    names = {id(stave): _names(stave) for stave in (*(one.lines[0] for one in pairs), *parts)}
    bids = []
    for place, stave in enumerate(parts):
        for number, one in enumerate(pairs):
            sum_, why = _bid(one.lines[0], stave, names[id(one.lines[0])], names[id(stave)])
            if sum_ >= ENOUGH:
                bids.append((-sum_, place, number, why))
    free = set(range(len(parts)))
    for _, place, number, why in sorted(bids):
        if place in free and not pairs[number].parts:
            free.discard(place)
            pairs[number].parts.append(parts[place])
            pairs[number].evidence = why
    doubles, extra = [], []
    for place in sorted(free):
        own = [(number, why) for _, at, number, why in sorted(bids) if at == place]
        home = _home(parts[place], pairs, [number for number, _ in own])
        if home is None and own:
            doubles.append((parts[place], pairs[own[0][0]].parts[0]))
        elif home is None:
            extra.append(parts[place])
        elif _same_music(parts[place], home):
            doubles.append((parts[place], home.parts[0]))
        else:
            home.parts.append(parts[place])
            home.evidence += ", one of several parts"
    extra = [stave for stave in extra if not _holds_lines(stave, pairs)]
    _join_lines(pairs)
    return Pairing(tuple(pairs), tuple(doubles), tuple(extra))


def _names(stave: Stave) -> tuple[str, PartName, str]:
    text = stave.name
    return fold(text), part_name(text), fold(naming.words(stave.music.name))


def _bid(line: Stave, part: Stave, its: tuple[str, PartName, str], own: tuple[str, PartName, str]) -> tuple[float, str]:
    """How much speaks for the pair, and what."""
    evidence = []
    music = likeness(line.content, part.content)
    total = MUSIC * music
    if music >= 0.5:
        evidence.append("music")
    if its[0] == own[0] or (its[0] and own[2] and (own[2] == its[0] or own[2].endswith(f" {its[0]}"))):
        total += NAME
        evidence.append("name")
    elif its[1].stem and its[1].stem == own[1].stem and its[1].number == own[1].number:
        total += NAME - 0.05
        evidence.append("name")
    elif its[1].stem and its[1].stem == own[1].stem:
        total += STEM
    instrument = line.instrument
    if instrument is not None and instrument == part.instrument:
        total += INSTRUMENT
        evidence.append("instrument")
    return total, ", ".join(evidence)


def _home(part: Stave, pairs: list[Pair], wanted: list[int]) -> Pair | None:
    """The line of which the part is one of several: its notes stand there, and the names have a stem in common."""
    stem = part_name(part.name).stem
    for number in [*wanted, *(n for n in range(len(pairs)) if n not in wanted)]:
        one = pairs[number]
        near = number in wanted or part_name(one.lines[0].name).stem == stem
        if near and one.parts and covered(part.content, one.lines[0].content) >= SHARED:
            return one
    return None


def _same_music(part: Stave, home: Pair) -> bool:
    """Whether the part adds nothing: the line is whole without it, or it is what another part is already."""
    line = home.lines[0].content.tones
    first = home.parts[0].content.tones
    return first == line or part.content.tones == first


def _holds_lines(part: Stave, pairs: list[Pair]) -> bool:
    """Whether the part holds what several lines without a part play (two players, one copy); they become one pair."""
    stem = part_name(part.name).stem
    held = []
    for one in pairs:
        line = one.lines[0]
        alike = part.instrument == line.instrument if part.instrument is not None else part_name(line.name).stem == stem
        if not one.parts and alike and covered(line.content, part.content) >= WHOLE:
            held.append(one)
    if not held:
        return False
    held[0].parts.append(part)
    held[0].evidence = "music, one copy for several lines"
    for one in held[1:]:
        held[0].lines += one.lines
        pairs.remove(one)
    return True


def _join_lines(pairs: list[Pair]) -> None:
    """A line without a part whose notes stand in the part of another line is read from that part (two players, one copy)."""
    for lone in [one for one in pairs if not one.parts and not one.lines[0].content.silent]:
        for one in pairs:
            if one.parts and one is not lone and covered(lone.lines[0].content, one.parts[0].content) >= WHOLE:
                stems = {part_name(stave.name).stem for stave in (lone.lines[0], one.parts[0])}
                if len(stems) == 1 and one.parts[0].content.tones != one.lines[0].content.tones:
                    one.lines.append(lone.lines[0])
                    lone.lines.clear()
                    break
    pairs[:] = [one for one in pairs if one.lines]
