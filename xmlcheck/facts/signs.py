"""The signs that decide in which order bars are played, read bar by bar out of the barlines and directions of a score.

MusicXML 4.0, elements repeat, ending, sound and barline. Jumps are read as the player does, at the end of their bar; segno and
coda, where the jump goes, at its start.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from xmlcheck.model import Barline, Direction, Part

MOST_TIMES = 64
"""A passage that is to be played more often is taken for a fault (ours)."""
JUMPS = ("dacapo", "dalsegno", "tocoda", "fine")
_PLACES = ("segno", "coda")

# What players read where the playback data are missing (common practice, no source).
_WORDS = tuple(
    (name, re.compile(pattern))
    for name, pattern in (
        ("dacapo", r"(?<!\w)(?:D\.\s?C\.?|DC(?!\w)|(?i:da capo)(?!\w))"),
        ("dalsegno", r"(?<!\w)(?:D\.\s?S\.?|DS(?!\w)|(?i:dal segno)(?!\w))"),
        ("tocoda", r"\A\W*(?i:to|al|alla) (?i:coda)\W*\Z"),
        ("fine", r"\A\W*(?i:fine)\W*\Z"),
        ("coda", r"\A\W*(?i:coda)\W*\Z"),
        ("segno", r"\A\W*(?i:segno)\W*\Z"),
    )
)
_LONGEST_WORDS = 40
_AIM = re.compile(r"(?<!\w)(fine|coda)(?!\w)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Sign:
    """A jump, or where one goes: name, and the times through at which it counts (none: as the standard has it by default).

    printed: known from words or a sign alone, without playback data.
    """

    name: str = ""
    only: frozenset[int] = frozenset()
    printed: bool = False


@dataclass(slots=True)
class Bar:
    """One bar's signs. backward: how often the passage is played in all, 0 without a repeat sign. final: a closing barline.

    ending: the numbers of an ending that begins here, None where none does, empty where it has no number. closes: an ending
    ends here. signs: those of JUMPS and segno, coda. aim: "fine" or "coda" where the words of its jump name one.
    """

    forward: bool = False
    backward: int = 0
    after_jump: bool = False
    final: bool = False
    restarts: bool = False
    ending: frozenset[int] | None = None
    closes: bool = False
    signs: dict[str, Sign] = field(default_factory=dict)
    aim: str = ""


def read_bars(parts: Sequence[Part]) -> list[Bar]:
    """The bars of the longest part with the signs of all parts: files often carry them in one part only."""
    longest = max(parts, key=lambda part: len(part.measures))
    bars = [Bar() for _ in longest.measures]
    for part in parts:
        for line in part.barlines:
            _barline(line, bars)
    for measure, before in zip(longest.measures[1:], bars, strict=False):
        before.restarts = before.final and measure.number in ("0", "1")
    for part in parts:
        for direction in part.directions:
            if direction.sound is not None and direction.sound.attributes:
                _sound(direction, part, bars)
    _read_words(parts, bars)
    return bars


def _barline(line: Barline, bars: list[Bar]) -> None:
    """A sign on the far side of a barline belongs to the neighbour."""
    left = line.location == "left"
    here = line.measure
    before, behind = (here - 1, here) if left else (here, here + 1)
    if line.repeat == "forward" and behind < len(bars):
        bars[here if line.location == "middle" else behind].forward = True
    if line.repeat == "backward" and before >= 0:
        bars[before].backward = max(bars[before].backward, 2, min(line.times, MOST_TIMES))
        bars[before].after_jump |= "after-jump" in line.marks
    if line.style == "light-heavy" and not line.repeat and before >= 0:
        bars[before].final = True
    numbers, kind = line.ending
    if kind == "start" and behind < len(bars):
        bars[behind].ending = _numbers(numbers)
    elif kind in ("stop", "discontinue") and before >= 0:
        bars[before].closes = True
    for name in _PLACES:
        if name in line.marks and behind < len(bars):
            bars[behind].signs.setdefault(name, Sign())


def _numbers(text: str) -> frozenset[int]:
    """Ending numbers: positive integers, ranges too; what is no such number is left out."""
    found: set[int] = set()
    for first, last in re.findall(r"(\d+)(?:\s*[-\u2013]\s*(\d+))?", text):
        if len(first) < 4 and len(last) < 4:
            found.update(range(int(first), int(last or first) + 1))
    return frozenset(n for n in found if 0 < n <= MOST_TIMES)


def _sound(direction: Direction, part: Part, bars: list[Bar]) -> None:
    sound = direction.sound
    if sound is None:
        return
    only = frozenset(int(n) for n in re.findall(r"\d{1,3}", sound.get("time-only")))
    for name, value in sound.attributes:
        if name == "forward-repeat" and value == "yes":
            _place(direction, part, bars).forward = True
        elif name in _PLACES:
            _place(direction, part, bars).signs[name] = Sign(value, only)
        elif name in JUMPS and value != "no":
            bars[direction.measure].signs[name] = Sign(value, only)


def _place(direction: Direction, part: Part, bars: list[Bar]) -> Bar:
    """The bar that begins at, or holds, this place: what stands at a bar's end means the next."""
    bar = part.measures[direction.measure]
    ends = bar.length > 0 and direction.position >= bar.onset + bar.length and bar.index + 1 < len(bars)
    return bars[bar.index + 1 if ends else bar.index]


def _read_words(parts: Sequence[Part], bars: list[Bar]) -> None:
    """Jumps and their places in words and signs, each kind only where no playback data of that kind are given."""
    given = {name for bar in bars for name, sign in bar.signs.items() if sign.name}
    codas: list[tuple[Bar, Bar]] = []  # the bar that a coda sign begins, and the one it stands in
    for direction, part in _spoken(parts):
        names = {name for name, pattern in _WORDS if pattern.search(direction.words)}
        names |= {mark.name for mark in direction.marks if mark.name in _PLACES and mark.group == "direction"}
        if not names.isdisjoint(("dacapo", "dalsegno")):
            aim = _AIM.search(direction.words)
            bars[direction.measure].aim = aim[1].casefold() if aim else ""
        if "tocoda" in names:
            names.discard("coda")
        for name in names - given:
            bar = _place(direction, part, bars) if name in _PLACES else bars[direction.measure]
            if name == "coda":
                codas.append((bar, bars[direction.measure]))
            bar.signs.setdefault(name, Sign(printed=True))
    _two_codas(bars, codas)


def _spoken(parts: Sequence[Part]) -> Iterator[tuple[Direction, Part]]:
    for part in parts:
        for direction in part.directions:
            if direction.marks and len(direction.words) <= _LONGEST_WORDS:
                yield direction, part


def _two_codas(bars: list[Bar], codas: list[tuple[Bar, Bar]]) -> None:
    """Of two coda signs and no word at either, the first says from where to jump."""
    if any("tocoda" in bar.signs for bar in bars) or not any("dacapo" in bar.signs or "dalsegno" in bar.signs for bar in bars):
        return
    order = {id(bar): index for index, bar in enumerate(bars)}
    codas.sort(key=lambda pair: order[id(pair[0])])
    if codas and codas[0][0] is not codas[-1][0]:
        target, here = codas[0]
        here.signs["tocoda"] = target.signs.pop("coda")
