"""What is still to be filled in: the sign that stands for it, and where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

BLANK = "?"
"""Stands in a skeleton for everything that only its author can know."""
TEXT, LIST = f'"{BLANK}"', f'["{BLANK}"]'
"""A blank as TOML: a value, and a list."""
Path = tuple[str | int, ...]
"""The way to a value in tables: keys, and numbers from 0 in lists."""


def blanks(table: Any, path: Path = ()) -> Iterator[Path]:
    """The way to every value that is still a blank, in order."""
    if table == BLANK:
        yield path
    elif isinstance(table, Mapping):
        for key, item in table.items():
            yield from blanks(item, (*path, key))
    elif isinstance(table, list):
        for number, item in enumerate(table):
            yield from blanks(item, (*path, number))


def told(path: Path) -> str:
    """A way in words: `[compass], lowest, value`; lists count from 1."""
    head, *rest = path or ("the file",)
    words = [f"number {step + 1}" if isinstance(step, int) else step for step in rest]
    return ", ".join([f"[{head}]" if words and isinstance(words[0], str) else str(head), *words])
