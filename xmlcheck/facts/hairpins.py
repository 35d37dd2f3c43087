"""Hairpins: where they begin and stop."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from xmlcheck.model import Direction


def growing_hairpins(directions: Iterable[Direction]) -> Iterator[tuple[Direction, int]]:
    """Each growing hairpin and the tick at which it stops."""
    begun: dict[str, Direction] = {}
    for direction in directions:
        for mark in direction.named("wedge"):
            if mark.type == "crescendo":
                begun[mark.number] = direction
            elif mark.type == "stop" and mark.number in begun:
                yield begun.pop(mark.number), direction.onset
            elif mark.type == "diminuendo":
                begun.pop(mark.number, None)
