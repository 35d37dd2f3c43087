"""One stretch of bars on both sides: what became of it. A leaf module."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Block:
    """kind: matched, inserted, deleted, moved, repeated or rebarred. old, new: bar indices.

    A matched or moved block is one bar to one bar. Of a repeated one, `old` is what it repeats. Of an inserted block `old` is
    empty and begins where it was put in; of a deleted one `new` is.
    """

    kind: str
    old: range
    new: range
