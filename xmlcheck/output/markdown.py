"""The lines of a terminal page as Markdown: a page is laid out once, so the two cannot say different things."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from xmlcheck.output.page import Line, Sheet

ENDLESS = Sheet(width=1_000_000)
"""The paper on which no line is ever wrapped: Markdown wraps by itself."""
KEYS = "Keys"
"""The row that is a drawing and keeps its spaces."""
_SPECIAL = re.compile(r"[\\`*<~|]|(?<!\w)_|_(?!\w)|(?<=\])\(|&(?=#?\w+;)")

_RULE = re.compile(r"""(?<![\w.\-\[/"])[a-z0-9-]+\.[a-z0-9-]+(?![\w\-/]|\.\w)""")


def escaped(text: str) -> str:
    """The text so that Markdown shows each of its signs."""
    return _SPECIAL.sub(lambda found: f"\\{found[0]}", text)


def document(lines: Iterable[Line], left_out: frozenset[str] = frozenset()) -> str:
    """A page as Markdown: its first line the title, headings, rows as lists. left_out: headings whose sections are left out."""
    return "".join(f"{line}\n" for line in _told(_rows(lines), left_out))


def linked(text: str, targets: Mapping[str, str]) -> str:
    """The Markdown text with each known name that stands by itself made a link. targets: name to address.

    Only names of rules (`area.slug`) are looked for: a plain word may be the name of something else.
    """

    def link(found: re.Match[str]) -> str:
        address = targets.get(found[0])
        return f"[{found[0]}]({address})" if address else found[0]

    return _RULE.sub(link, text)


def _rows(lines: Iterable[Line]) -> Iterator[tuple[str, str, str]]:
    """Each line as its kind (title, heading, fact), the name in its margin, and its text."""
    name = ""
    for number, line in enumerate(lines):
        text = "".join(part for part, _ in line).strip()
        if number == 0:
            yield "title", line[0][0], "".join(part for part, _ in line[1:])
        elif not text:
            continue
        elif line[0][1] == "strong":
            yield "heading", text, ""
        elif len(line) == 1:  # a name too long for the margin, its text follows
            name = text
        else:
            shown = "".join(part for part, _ in line[1:])
            yield "fact", name or line[0][0].strip(), shown
            name = ""


def _told(rows: Iterable[tuple[str, str, str]], left_out: frozenset[str]) -> Iterator[str]:
    heading, under, drawing = "", False, False
    opening = True
    for kind, name, text in rows:
        if drawing and (kind != "fact" or name):
            raise ValueError("a drawing has two rows")
        if kind == "title":
            yield f"# {escaped(name)}"
            yield ""
            yield escaped(text.strip(" ·;"))
        elif kind == "heading":
            heading, under, opening = name, False, True
            if name not in left_out:
                yield ""
                yield f"## {escaped(name)}"
        elif heading in left_out:
            continue
        elif drawing:
            yield f"  {text}"
            yield "  ```"
            drawing = False
        else:
            if opening:
                yield ""
                opening = False
            if name == KEYS:
                yield f"- **{name}**"
                yield ""
                yield "  ```text"
                yield f"  {text}"
                drawing = True
            elif name and f"{name}s" != heading:
                yield f"- **{escaped(name)}:** {escaped(text)}"
                under = True
            else:
                yield f"{'  ' if under and not name else ''}- {escaped(text)}"
