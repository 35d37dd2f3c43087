"""Lines of styled text for a terminal or a pipe: wrapping that knows double-width characters, grades told by word and shape.

Styles are names, not colours: `strong`, `dim`, `halt`, `query`, `tidy`. In a pipe they vanish and nothing is lost.
"""

from __future__ import annotations

import os
import shutil
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, TextIO

from xmlcheck.errors import harmless
from xmlcheck.finding import Grade

Span = tuple[str, str]
"""Text and style; the style "" is plain."""
Line = tuple[Span, ...]

SHAPES = {Grade.HALT: "■", Grade.QUERY: "○", Grade.TIDY: "\N{EN DASH}"}
_ASCII_SHAPES = {Grade.HALT: "#", Grade.QUERY: "o", Grade.TIDY: "-"}
_LOOKS = {
    # White on the grade's colour is readable on dark and on light terminals alike; the colour alone would not be.
    "halt": "bold white on #7B2D6B",
    "query": "bold white on #1F5FA8",
    "tidy": "bold white on #2E7D76",
    "strong": "bold",
    "dim": "dim",
}
NARROWEST, WIDEST = 48, 100
"""Columns: below, nothing sensible fits; above, lines are too long to read."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The paper: columns, whether colour may be used, and whether shapes and typographic signs can be shown."""

    width: int = 80
    colour: bool = False
    unicode: bool = True

    def shape(self, grade: Grade) -> str:
        return (SHAPES if self.unicode else _ASCII_SHAPES)[grade]

    @property
    def dot(self) -> str:
        """What stands between two pieces of a line."""
        return " · " if self.unicode else "; "

    @property
    def rule(self) -> str:
        return ("─" if self.unicode else "-") * self.width


def sheet_for(stream: TextIO) -> Sheet:
    """The sheet of an output stream: colour on a terminal without NO_COLOR only; 80 columns in a pipe."""
    terminal = stream.isatty()
    columns = shutil.get_terminal_size((80, 24)).columns if terminal else 80
    colour = terminal and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    try:
        f"{''.join(SHAPES.values())}·─…".encode(getattr(stream, "encoding", None) or "utf-8")
    except UnicodeEncodeError:
        return Sheet(_between(columns), colour, False)
    return Sheet(_between(columns), colour, True)


def plain(lines: Iterable[Line]) -> str:
    """The lines as text, styles left out, no spaces at line ends."""
    return "".join(harmless("".join(text for text, _ in line)).rstrip() + "\n" for line in lines)


def show(lines: Iterable[Line], stream: TextIO, sheet: Sheet) -> None:
    """Writes the lines: with colours where the sheet has them, else plain; signs the stream lacks become "?"."""
    if sheet.colour:
        _rich(lines, stream)
        return
    text, encoding = plain(lines), getattr(stream, "encoding", None) or "utf-8"
    text = text if sheet.unicode else text.replace("…", "...")
    stream.write(text.encode(encoding, "replace").decode(encoding))


def _rich(lines: Iterable[Line], stream: TextIO) -> None:
    from rich.console import Console
    from rich.text import Text

    console = Console(file=stream, highlight=False, markup=False, emoji=False, soft_wrap=True)
    for line in lines:
        console.print(Text.assemble(*((harmless(text), _LOOKS.get(style, "")) for text, style in line)), end="\n")


def cells(text: str) -> int:
    """Columns that a text takes: two for East Asian wide characters, none for combining marks."""
    return sum(0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)


def cut(text: str, width: int) -> str:
    """The text in at most `width` columns, cut at a word with `…` where it is longer."""
    if cells(text) <= width:
        return text
    return f"{next(wrap(text, width - 2), '').rstrip(' ,;:(')} …"


def wrap(text: str, width: int) -> Iterator[str]:
    """The text in lines of at most `width` columns, broken at spaces, inside a word only where it is wider than a line."""
    if 2 * len(text) <= width:  # no sign takes more than two columns
        yield from filter(None, [" ".join(text.split())])
        return
    line = ""
    for word in text.split():
        if line and cells(line) + 1 + cells(word) <= width:
            line += f" {word}"
            continue
        if line:
            yield line
        line = word
        while cells(line) > width:
            head = _fitting(line, width)
            yield head
            line = line[len(head) :]
    if line:
        yield line


def block(text: str, sheet: Sheet, indent: int = 0, first: str = "", style: str = "", lead: str = "") -> Iterator[Line]:
    """A wrapped paragraph at `indent`. first: what stands in the margin of its first line, dim. lead: an opening word, dim."""
    whole = f"{lead} {text}" if lead else text
    for number, line in enumerate(wrap(whole, sheet.width - indent)):
        margin = (first.ljust(indent) if number == 0 else " " * indent, "dim")
        if number == 0 and lead and line.startswith(lead):
            yield margin, (lead, "dim"), (line[len(lead) :], style)
        else:
            yield margin, (line, style)


def section(title: str, texts: Iterable[str], sheet: Sheet) -> Iterator[Line]:
    """A heading with texts under it; nothing where there are none."""
    lines = [line for text in texts for line in block(text, sheet, 4, first="  ")]
    if lines:
        yield ()
        yield ((title, "strong"),)
        yield from lines


def _fitting(word: str, width: int) -> str:
    taken = 0
    for place, sign in enumerate(word):
        taken += cells(sign)
        if taken > width:
            return word[: max(1, place)]
    return word


def _between(columns: int) -> int:
    return max(NARROWEST, min(WIDEST, columns))


def printable(value: Any) -> str:
    """A text from a file, on one line and without control characters, which could steer a terminal."""
    return harmless(" ".join(str(value).split()))
