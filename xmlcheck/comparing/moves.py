"""Bars put in that were taken out elsewhere, or that are there already: moved and repeated ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from xmlcheck.comparing import costs
from xmlcheck.comparing.block import Block
from xmlcheck.comparing.columns import Column, content, sounding, weight
from xmlcheck.comparing.exact import Exact

_MANY = 2_500
"""Pairs of bars taken out and put in, above which only the first are compared."""
CLEAR = 0.8
"""A bar put in is told as another one repeated with changes, if that costs at most this share of telling it as new (ours)."""
AROUND = 8
"""Bars before and after in which the model of a bar that repeats another one with changes is looked for (ours)."""


def moved(found: list[Block], old: Sequence[Column], new: Sequence[Column], exact: Exact) -> list[Block]:
    """Finds bars that were cut in one place among those put in at another; runs of them stay together."""
    gone = [block.old.start for block in found if block.kind == "deleted"]
    came = [block.new.start for block in found if block.kind == "inserted"]
    source = _sources(gone, came, old, new, exact)
    taken = set(source.values())
    result = []
    for block in found:
        if block.kind == "inserted" and block.new.start in source:
            i = source[block.new.start]
            result.append(Block("moved", range(i, i + 1), block.new))
        elif not (block.kind == "deleted" and block.old.start in taken):
            result.append(block)
    return result


def _sources(
    gone: Sequence[int], came: Sequence[int], old: Sequence[Column], new: Sequence[Column], exact: Exact
) -> dict[int, int]:
    """Bars put in to the bars taken out that they are. Equal ones and near ones first, then empty bars that go along."""
    if len(gone) * len(came) > _MANY:
        gone = gone[: _MANY // max(1, len(came))]
    pairs = []
    for i in gone:
        for j in came:
            cost = exact.near(old[i], new[j]) if sounding(old[i]) else None
            if cost is not None:
                along = i - 1 in gone and j - 1 in came and content(old[i - 1]) == content(new[j - 1])
                pairs.append((cost > 0, not along, abs(i - j), i, j))
    source: dict[int, int] = {}
    for _, _, _, i, j in sorted(pairs):
        if j not in source and i not in source.values():
            source[j] = i
    for j in came:
        i = source.get(j - 1, -2) + 1
        if j not in source and i in gone and i not in source.values() and content(old[i]) == content(new[j]):
            source[j] = i
    return source


def repeated(found: list[Block], old: Sequence[Column], new: Sequence[Column], exact: Exact) -> Iterator[Block]:
    """Finds bars put in that are bars of the old file once more, perhaps changed a little; those first that go on with the last."""
    places: dict[object, list[int]] = {}
    for i, column in enumerate(old):
        if sounding(column):
            places.setdefault(content(column), []).append(i)
    last = -2
    for block in found:
        if block.kind == "inserted":
            source = _source(block, old, new, places.get(content(new[block.new.start]), ()), last + 1, exact)
            if source is not None:
                last = source
                yield replace(block, kind="repeated", old=range(source, source + 1))
                continue
        last = -2
        yield block


def _source(
    block: Block, old: Sequence[Column], new: Sequence[Column], again: Sequence[int], following: int, exact: Exact
) -> int | None:
    """The old bar that a bar put in repeats: an equal one, else the nearest of those around it that is nearly equal."""
    if again:
        return min(
            again, key=lambda i: (i != following, -_goes_on(i, block.new.start, old, new), abs(i - block.old.start + 0.5))
        )
    column = new[block.new.start]
    if not sounding(column):
        return following if 0 < following < len(old) and content(old[following]) == content(column) else None
    found: list[tuple[float, int]] = []
    near = range(max(0, block.old.start - AROUND), min(len(old), block.old.start + AROUND))
    for i in ([following] if 0 < following < len(old) else []) + [*near]:
        cost = exact.near(old[i], column) if sounding(old[i]) else None
        if cost is not None:
            found.append((cost + (0.0 if i == following else costs.PASSAGE), i))
    best = min(found, default=None)
    return best[1] if best is not None and best[0] <= CLEAR * weight(column) else None


def _goes_on(i: int, j: int, old: Sequence[Column], new: Sequence[Column]) -> int:
    """How many of the next bars are equal too."""
    count = 0
    while count < AROUND and i + count + 1 < len(old) and j + count + 1 < len(new):
        if content(old[i + count + 1]) != content(new[j + count + 1]):
            break
        count += 1
    return count
