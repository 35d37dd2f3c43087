"""What is the same change in every part is told once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from xmlcheck.comparing.change import Change
from xmlcheck.model import Part


def merged(by_part: Sequence[list[Change]], parts: Sequence[Part], every: int) -> list[Change]:
    """What is the same change in every part (meter, key) is told once. every: how many parts there are in all."""
    if len(by_part) < max(2, every):
        return [change for found in by_part for change in found]
    common = []
    rest = [list(found) for found in by_part]
    for change in by_part[0]:
        if change.kind not in ("meter", "key"):
            continue
        alike = [next((other for other in found if _alike(change, other)), None) for found in rest[1:]]
        if all(other is not None for other in alike):
            common.append(replace(change, part=None, parts=tuple(part.id for part in parts)))
            for found, other in zip(rest, (change, *alike), strict=True):
                found.remove(other)  # type: ignore[arg-type]  # none of them is None here
    return [*common, *(change for found in rest for change in found)]


def _alike(change: Change, other: Change) -> bool:
    if change.kind != other.kind or change.new is None or other.new is None or change.old is None or other.old is None:
        return False
    same = all(
        (one.bar_index, one.to_bar_index) == (two.bar_index, two.to_bar_index)
        for one, two in ((change.old, other.old), (change.new, other.new))
    )
    return same and _turn(change) == _turn(other)


def _turn(change: Change) -> object:
    """What changed: of keys how far, because transposing parts have other signatures."""
    if change.kind == "key":
        was, now = (tuple(one for _, one in change.values[side]) for side in ("was", "now"))
        if len(was) == len(now) == 1 and isinstance(was[0], int) and isinstance(now[0], int):
            return (now[0] - was[0]) % 12
    return change.was, change.now
