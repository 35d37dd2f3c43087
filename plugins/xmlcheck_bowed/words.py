"""Changes of mute and stroke that words ask for, and the time around them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from xmlcheck.plugin import Chair, Direction, Technique, Techniques, says

MUTES = ("con-sordino", "mute")
"""Ids of the technique of playing with a mute."""
PLUCKED = ("pizzicato",)


@dataclass(frozen=True, slots=True)
class Change:
    """A direction that begins (`on`) or ends a technique. reminder: the technique is in force or over already, or it is bracketed."""

    at: Direction
    on: bool
    reminder: bool
    since: Direction | None


def technique(techniques: Techniques, ids: tuple[str, ...]) -> Technique | None:
    """The profile's technique of one of these ids, with words and a lasting meaning."""
    return next((item for item in techniques.has if item.id in ids and item.lasting), None)


def changes(chair: Chair, item: Technique) -> Iterator[Change]:
    """Each direction that says one of the technique's words or of the words that end it, in order."""
    since: Direction | None = None
    for direction in chair.directions:
        words = direction.words
        if not words:
            continue
        off = says(words, item.cancels)
        on = not off and says(words, item.words)
        bracketed = words.lstrip().startswith(("(", "["))
        if on:
            yield Change(direction, True, since is not None or bracketed, since)
            since = since or direction
        elif off:
            yield Change(direction, False, since is None or bracketed, since)
            since = None


def silence(chair: Chair, tick: int) -> float | None:
    """Seconds of silence at a tick or just before what is played from there on; None before the first and after the last note."""
    gap = chair.gap(tick)
    return chair.seconds(*gap) if gap is not None else None
