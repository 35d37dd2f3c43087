"""On which line of a TOML text a value stands: the parser of the standard library does not tell."""

from __future__ import annotations

import re
from collections.abc import Iterator

from xmlcheck.authoring.blanks import Path

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(r"""\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*=""")
_PIECE = re.compile(r"""[\w-]+|"[^"]*"|'[^']*'""")
_BROKEN = re.compile(r"\(?at (?:line (\d+), column \d+|end of document)\)?")


def located(text: str) -> dict[Path, int]:
    """The way to each table and key that has a line of its own, and the line, from 1."""
    return {path: line for path, line in reversed(list(_walk(text)))}


def line_of(text: str, path: Path) -> int:
    """The line on which a value stands, or the nearest table or key around it; 1 where there is none."""
    places = located(text)
    return next((places[path[:end]] for end in range(len(path), 0, -1) if path[:end] in places), 1)


def broken_at(text: str, error: Exception) -> int:
    """The line that a TOML error names; the last line where it names the end of the document."""
    found = _BROKEN.search(str(error))
    return int(found[1]) if found and found[1] else max(1, len(text.splitlines()))


def path_of(message: str) -> Path:
    """The way that a sentence about tables names: `$.compass.lowest[0]: …`, or `…, [compass], lowest[0]: …`; else empty."""
    json_path = re.match(r"\$((?:\.[\w-]+|\[\d+\]|\['[^']*'\])*)", message)
    if json_path:
        steps = re.findall(r"\.([\w-]+)|\[(\d+)\]|\['([^']*)'\]", json_path[1])
        return tuple(int(number) if number else key or quoted for key, number, quoted in steps)
    worded = re.search(r", \[(\w+)\]((?:, \w+(?:\[\d+\])*)*)", message)
    if not worded:
        return ()
    steps = re.findall(r"(\w+)|\[(\d+)\]", re.sub(r", ", " ", worded[2]))
    return (worded[1], *(int(number) if number else key for key, number in steps))


def _walk(text: str) -> Iterator[tuple[Path, int]]:
    """Tables and keys in order; what stands inside a text of several lines is passed over."""
    table: Path = ()
    counts: dict[Path, int] = {}
    quoted = False
    for number, line in enumerate(text.splitlines(), 1):
        marks = line.count('"""') + line.count("'''")
        inside, quoted = quoted, quoted ^ bool(marks % 2)
        if inside:
            continue
        header, key = _HEADER.match(line), _KEY.match(line)
        if header:
            table = ()
            pieces = _pieces(header[2])
            for piece in pieces[:-1]:
                table = (*table, piece)
                table = (*table, counts[table] - 1) if table in counts else table
            table = (*table, pieces[-1])
            if header[1] == "[[":
                counts[table] = counts.get(table, 0) + 1
                table = (*table, counts[table] - 1)
            yield table, number
        elif key:
            yield (*table, *_pieces(key[1])), number


def _pieces(dotted: str) -> tuple[str, ...]:
    return tuple(piece.strip("\"'") for piece in _PIECE.findall(dotted))
