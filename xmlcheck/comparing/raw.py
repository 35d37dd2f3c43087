"""Differences before they are told: what was found note by note and sign by sign."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from xmlcheck.comparing.lexicon import Sign
from xmlcheck.comparing.matching import Placed


class SignAt(NamedTuple):
    """A sign in a block. at: ticks from the start of the block. bar: bar index; source: index in the view's directions."""

    at: int
    sign: Sign
    bar: int
    source: int


Point = Placed | SignAt


class RawItem(NamedTuple):
    """One note or sign on both sides, and what was and is said at it."""

    old: Point | None
    new: Point | None
    was: str = ""
    now: str = ""


@dataclass(frozen=True, slots=True)
class Raw:
    """One difference. place: block number and tick in it, for its order. span: name of a sign with start and stop, and its type.

    interval: cents from the old to the new pitch, where the pitch alone changed.
    """

    kind: str
    place: tuple[int, int]
    items: tuple[RawItem, ...]
    cost: float
    was: str = ""
    now: str = ""
    span: tuple[str, str] = ("", "")
    interval: int = 0
    steps: int = 0
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def first(self) -> Point | None:
        """The first point concerned, in the new file where there is one."""
        return self.items[0].new or self.items[0].old
