"""Changes between two revisions: the values that outputs eat, and their JSON form (schema `comparison-1`). A leaf module.

Field names here are the JSON keys; what each key holds: schemas/comparison-1.schema.json.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

SCHEMA = "comparison-1"

SOUND, NOTATION, IDENTITY = "sound", "notation", "identity"
"""Layers: what is heard or done differently; what only looks different on the page; what things are called."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One note or sign in one of the files. at: quarter notes from the start of its bar, exact. quarters: how long it is.

    grace: place among the grace notes before a note, 0 for other notes. Pitches are null for signs and unpitched notes. signs: what
    stands on the note; sung: its syllables.
    """

    bar_index: int
    bar: str
    beat: str
    at: str
    staff: int
    quarters: str | None = None
    written: str | None = None
    sounding: str | None = None
    grace: int = 0
    tied: bool = False
    signs: tuple[str, ...] = ()
    sung: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """One note or sign that changed: where it stood, where it stands, and what was and is said at it (`dynamics mf`)."""

    old: Spot | None
    new: Spot | None
    was: str = ""
    now: str = ""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Bars of one of the files, first and last, by index and by the file's own text. beat: where it begins, if it is one place."""

    bar_index: int
    bar: str
    to_bar_index: int
    to_bar: str
    beat: str | None = None

    @property
    def bars(self) -> int:
        return self.to_bar_index - self.bar_index + 1


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that changed. part: id in the new file, in the old one for a part that is gone; None for the whole score.

    parts: all parts concerned, where one change is told once for several. old, new: where, None on one side for what came or
    went as a whole; of a note that went, `new` is where it stood. text: the sentence without its place; label: at most five words.
    cost: its share of the account (module costs).
    """

    number: int
    kind: str
    layer: str
    part: str | None
    old: Stretch | None
    new: Stretch | None
    text: str
    label: str
    parts: tuple[str, ...] = ()
    was: str = ""
    now: str = ""
    items: tuple[Item, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict)
    cost: float = 0.0


@dataclass(frozen=True, slots=True)
class PartMatch:
    """One part of the comparison: ids, names and numbers of notes on both sides, null where it is only in the other file.

    content: share of common music before anything was aligned, 0 to 1.
    """

    old: str | None
    new: str | None
    old_name: str | None
    new_name: str | None
    content: float
    changes: int = 0


@dataclass(frozen=True, slots=True)
class Run:
    """Consecutive bars that are the same bars in both files: from these indices on, as many as count. part: None for all parts."""

    old: int
    new: int
    count: int
    part: str | None = None


def plain(value: Any) -> Any:
    """Dataclasses, tuples and mappings as plain values for JSON."""
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    if isinstance(value, Mapping):
        return {key: plain(item) for key, item in value.items()}
    if hasattr(value, "__dataclass_fields__"):
        return {item.name: plain(getattr(value, item.name)) for item in fields(value)}
    return value
