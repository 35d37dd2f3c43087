"""Small pictures of pitches on staves, drawn by ourselves: lines, ledger lines, heads, names.

Places are in pixels. Ink is `currentColor`; shading and grades have classes that the page's style sheet colours.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from lxml import etree

from xmlcheck.output.html.words import signs
from xmlcheck.output.page import printable
from xmlcheck.pitch import STEPS, Pitch

HALF = 4.0
"""Half a staff space: one letter step."""
_TREBLE, _BASS = (30, 32, 34, 36, 38), (18, 20, 22, 24, 26)
"""Lines as letter steps above C0 (C4 is 28): E4 to F5, G2 to A3."""
_MIDDLE = 28
_CLEF = 0.0245
"""Size of a clef's outline, whose staff space is 250 units, against ours."""


def height(pitch: Pitch) -> int:
    """Letter steps above C0: what decides the place on a staff."""
    return STEPS.index(pitch.step) + 7 * pitch.octave


@dataclass(slots=True)
class Staff:
    """A drawing board with a treble staff, a bass staff or both, as the pitches need, and room for all of them.

    clefs: outlines of the clefs by sign (`G`, `F`), empty where there are none: then letters stand on their lines.
    """

    low: int
    high: int
    width: float
    clefs: Mapping[str, str]
    head: float = 22
    foot: float = 22
    root: Any = field(init=False)
    lines: tuple[int, ...] = field(init=False)

    def __post_init__(self) -> None:
        treble, bass = self.high > _MIDDLE, self.low < _MIDDLE
        self.lines = (*(_BASS if bass or not treble else ()), *(_TREBLE if treble else ()))
        self.low = min(self.low, self.lines[0]) - 1
        self.high = max(self.high, self.lines[-1]) + 1
        self.root = etree.Element("svg", role="img")
        self.root.set("class", "staff")

    @property
    def tall(self) -> float:
        return self.head + (self.high - self.low) * HALF + self.foot

    def y(self, step: float) -> float:
        """Height on the page of a letter step."""
        return self.head + (self.high - step) * HALF

    def rule(self) -> None:
        """Draws the lines and clefs. Call it after the shading and before the notes."""
        d = "".join(f"M0 {self.y(line):g}H{self.width:g}" for line in self.lines)
        self.add("path", d=d, **{"class": "rule"})
        for sign, line, there in (("G", 32, _TREBLE), ("F", 24, _BASS)):
            if there[0] not in self.lines:
                continue
            if sign in self.clefs:
                place = f"translate(4 {self.y(line):g})scale({_CLEF} -{_CLEF})"
                self.add("path", d=self.clefs[sign], transform=place, **{"class": "ink"})
            else:
                self.text(5, self.y(line) + 4, sign, "clef")

    def note(self, x: float, pitch: Pitch, kind: str = "open", name: str = "right") -> None:
        """A head with its ledger lines. kind: a class of the style sheet, `open`, `full` or `moved`.

        name: `right`; `under` where it stands below the staff and here its accidental only; empty for none.
        """
        step = height(pitch)
        if not any(first <= step <= last for first, last in self._spans()):
            self._ledgers(x, step)
        y = self.y(step)
        form = {"cx": f"{x:g}", "cy": f"{y:g}", "rx": "5.2", "ry": "3.5", "transform": f"rotate(-18 {x:g} {y:g})"}
        self.add("ellipse", **form, **{"class": f"head {kind}"})
        if name == "right":
            self.text(x + 11, y + 4, signs(pitch.name), "name")
        elif name == "under" and pitch.alter:
            sign = signs(f"{pitch.step}{'#' if pitch.alter > 0 else 'b'}{pitch.octave}")[1]
            self.text(x - 14, y + 4, sign, "name")

    def bar(self, x: float, low: int, high: int, kind: str) -> None:
        """A vertical bar from one letter step to another."""
        if high > low:
            self.add("path", d=f"M{x:g} {self.y(low):g}V{self.y(high):g}", **{"class": kind})

    def shade(self, low: int, high: int, kind: str) -> None:
        """A band across the picture."""
        top, bottom = self.y(high + 0.5), self.y(low - 0.5)
        self.add("rect", x="0", y=f"{top:g}", width=f"{self.width:g}", height=f"{bottom - top:g}", **{"class": kind})

    def text(self, x: float, y: float, text: str, kind: str, anchor: str = "start") -> None:
        element = self.add("text", x=f"{x:g}", y=f"{y:g}", **{"class": kind, "text-anchor": anchor})
        element.text = printable(text)

    def add(self, tag: str, **attributes: str) -> Any:
        return etree.SubElement(self.root, tag, attributes)

    def svg(self, title: str) -> str:
        """The finished picture; title is read out in its place."""
        element = etree.Element("title")
        element.text = printable(title)
        self.root.insert(0, element)
        self.root.set("viewBox", f"0 0 {self.width:g} {self.tall:g}")
        self.root.set("width", f"{self.width:g}")
        self.root.set("height", f"{self.tall:g}")
        text: str = etree.tostring(self.root, encoding="unicode")
        return text

    def _spans(self) -> tuple[tuple[int, int], ...]:
        spans = ((_TREBLE[0] - 1, _TREBLE[-1] + 1), (_BASS[0] - 1, _BASS[-1] + 1))
        return tuple(span for span in spans if span[0] + 1 in self.lines)

    def _ledgers(self, x: float, step: int) -> None:
        if step > self.lines[-1]:
            ledgers: Iterable[int] = range(self.lines[-1] + 2, step + 1, 2)
        elif step < self.lines[0]:
            ledgers = range(self.lines[0] - 2, step - 1, -2)
        else:
            ledgers = (_MIDDLE,)
        d = "".join(f"M{x - 9:g} {self.y(line):g}h18" for line in ledgers)
        self.add("path", d=d, **{"class": "rule"})
