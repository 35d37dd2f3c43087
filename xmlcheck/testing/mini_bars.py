"""Bars of the tiny notation as values, and the splitting of lengths into notes that can be printed. Knows no XML."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction

from xmlcheck.pitch import Pitch

_NAMES = {"w": "whole", "h": "half", "q": "quarter", "e": "eighth", "s": "16th", "t": "32nd", "x": "64th"}
LENGTHS = {letter: (name, Fraction(4, 2**power)) for power, (letter, name) in enumerate(_NAMES.items())}
"""Letters of lengths: the standard's name and quarter notes."""
_PRINTABLE = sorted(
    ((value * (2 - Fraction(1, 2**dots)), name, dots) for name, value in LENGTHS.values() for dots in (0, 1)), reverse=True
)
_ON_ALL = ("tremolo", "head", "harmonic", "size")  # marks that every piece of a split note has, as attributes (@…) are


class MiniError(ValueError):
    """The tiny notation does not say what it must. The text names the bar and the token."""


@dataclass(frozen=True, slots=True)
class Head:
    """One notehead. pitch: None for an unpitched one, whose place on the staff is `shown`. marks: (name, value)."""

    pitch: Pitch | None
    shown: Pitch | None = None
    starts: bool = False
    stops: bool = False
    marks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Event:
    """What stands at one place. kind: note, rest, skip, or the name of a direction or setting, whose text is `value`.

    bar counts from 0, offset and length are quarter notes. type "": a rest of a whole bar. tuplets: ("start" or "stop", depth).
    """

    kind: str
    bar: int = 0
    offset: Fraction = Fraction(0)
    value: str = ""
    heads: tuple[Head, ...] = ()
    length: Fraction = Fraction(0)
    type: str = ""
    dots: int = 0
    ratio: tuple[int, int] | None = None
    tuplets: tuple[tuple[str, int], ...] = ()
    grace: bool = False
    cue: bool = False
    hidden: bool = False
    staff: int = 1
    instrument: int = 0


@dataclass(slots=True)
class Layout:
    """A part in bars. meters: bar to (text, quarters; None in free time). cut: length of bars that the notation ended itself.

    edges: (bar, "left" or "right") to the values of its barline. voices: name to events in order.
    """

    voices: dict[str, list[Event]] = field(default_factory=dict)
    meters: dict[int, tuple[str, Fraction | None]] = field(default_factory=lambda: {0: ("4/4", Fraction(4))})
    cut: dict[int, Fraction] = field(default_factory=dict)
    edges: dict[tuple[int, str], dict[str, str]] = field(default_factory=dict)
    bars: int = 0

    def length(self, bar: int) -> Fraction | None:
        """Quarter notes of a bar; None in free time where nothing has ended it yet."""
        return self.cut[bar] if bar in self.cut else self.meters[max(start for start in self.meters if start <= bar)][1]

    def edge(self, bar: int, side: str, **values: str) -> None:
        """Adds values to a barline."""
        self.edges.setdefault((bar, side), {}).update(values)

    def pad(self, bars: int) -> None:
        """Bars of rest in the first voice, up to this number of bars; in free time they are as long as a whole note."""
        first = next(iter(self.voices.values()))
        for bar in range(max((event.bar for event in first), default=-1) + 1, bars):
            first.append(Event("rest", bar, heads=(Head(None),), length=self.length(bar) or Fraction(4)))
        self.bars = bars


def printable(length: Fraction) -> Iterator[tuple[Fraction, str, int]]:
    """Note values (quarters, name, dots), longest first, that make up a length. Raises MiniError."""
    while length:
        value = next((item for item in _PRINTABLE if item[0] <= length), None)
        if value is None:
            raise MiniError(f"no note values make up {length} of a quarter note; let the tuplet fill its beat")
        yield value
        length -= value[0]


def joined(pieces: list[Event]) -> list[Event]:
    """The pieces of one note tied to each other; marks on the first, ends of lines and fermatas on the last."""
    last, result = len(pieces) - 1, []
    for number, piece in enumerate(pieces):
        heads = []
        for head in piece.heads:
            marks = tuple(
                (name, value)
                for name, value in head.marks
                if name in _ON_ALL or name[0] == "@" or number == (last if "stop" in value or name == "fermata" else 0)
            )
            tied = head.pitch is not None
            starts, stops = tied and (number < last or head.starts), tied and (number > 0 or head.stops)
            heads.append(replace(head, marks=marks, starts=starts, stops=stops))
        result.append(replace(piece, heads=tuple(heads)))
    return result
