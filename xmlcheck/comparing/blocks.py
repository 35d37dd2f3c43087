"""From aligned bars to blocks: what is matched, put in, cut, moved, repeated, or the same music in other bars."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from xmlcheck.comparing import costs
from xmlcheck.comparing.columns import Column, Distance, align, weight
from xmlcheck.comparing.lexicon import SOUNDING, Lexicon
from xmlcheck.comparing.sequences import Step

FLAT = 0.6
"""Share of equal notes from which on bars of one total length are the same music barred otherwise (ours)."""
NEAR = 0.35
"""A bar taken out and one put in elsewhere are one bar that moved, if the difference costs at most this share of the bar."""


@dataclass(frozen=True, slots=True)
class Block:
    """kind: matched, inserted, deleted, moved, repeated or rebarred. old, new: bar indices.

    A matched or moved block is one bar to one bar. Of a repeated one, `old` is what it repeats. Of an inserted block `old` is
    empty and begins where it was put in; of a deleted one `new` is.
    """

    kind: str
    old: range
    new: range


def blocks(old: Sequence[Column], new: Sequence[Column], distance: Distance, lexicon: Lexicon) -> tuple[Block, ...]:
    """The blocks of the whole score, in the order of the new file."""
    steps = align(old, new, distance)
    found: list[Block] = []
    for rebarred, stretch in _stretches(steps, old, new, lexicon):
        if rebarred is not None:
            found.append(rebarred)
        else:
            found += _plain(stretch, found[-1] if found else None)
    return tuple(_repeated(_moved(found, old, new, distance), old, new))


def _plain(steps: Sequence[Step], before: Block | None) -> Iterator[Block]:
    at_old, at_new = (before.old.stop, before.new.stop) if before is not None else (0, 0)
    for i, j in steps:
        kind = "matched" if i is not None and j is not None else "inserted" if i is None else "deleted"
        rows = range(at_old, at_old) if i is None else range(i, i + 1)
        cells = range(at_new, at_new) if j is None else range(j, j + 1)
        yield Block(kind, rows, cells)
        at_old, at_new = rows.stop, cells.stop


def _stretches(
    steps: list[Step], old: Sequence[Column], new: Sequence[Column], lexicon: Lexicon
) -> Iterator[tuple[Block | None, list[Step]]]:
    """The steps, with those that are the same music in other bars as one block each."""
    run: list[Step] = []
    for step in (*steps, None):
        if step is not None and not _solid(step, old, new):
            run.append(step)
            continue
        if run:
            yield from _barred(run, old, new, lexicon)
            run = []
        if step is not None:
            yield None, [step]


def _solid(step: Step, old: Sequence[Column], new: Sequence[Column]) -> bool:
    i, j = step
    return i is not None and j is not None and _length(old[i]) == _length(new[j])


def _length(column: Column) -> int:
    return max((bar.length for bar in column if bar is not None), default=0)


def _barred(
    run: list[Step], old: Sequence[Column], new: Sequence[Column], lexicon: Lexicon
) -> Iterator[tuple[Block | None, list[Step]]]:
    """A run in which bars differ in length or number. Cut at the barlines that both files have in common."""
    rows, cells = [i for i, _ in run if i is not None], [j for _, j in run if j is not None]
    ends_old = list(accumulate(_length(old[i]) for i in rows))
    ends_new = list(accumulate(_length(new[j]) for j in cells))
    if not rows or not cells or ends_old[-1] != ends_new[-1]:
        yield None, run
        return
    first, second = rows[0], cells[0]
    for end in sorted(set(ends_old) & set(ends_new)):
        block = Block("rebarred", range(first, rows[ends_old.index(end)] + 1), range(second, cells[ends_new.index(end)] + 1))
        if len(block.old) == len(block.new) == 1:
            yield None, [(first, second)]
        elif _flat_share(block, old, new, lexicon) >= FLAT:
            yield block, []
        else:
            inside = [(i, j) for i, j in run if (i is None or i in block.old) and (j is None or j in block.new)]
            yield None, inside if _covers(inside, block) else _one_by_one(block)
        first, second = block.old.stop, block.new.stop


def _covers(steps: Sequence[Step], block: Block) -> bool:
    return [i for i, _ in steps if i is not None] == list(block.old) and [j for _, j in steps if j is not None] == list(block.new)


def _one_by_one(block: Block) -> list[Step]:
    size = max(len(block.old), len(block.new))
    return [
        (block.old[n] if n < len(block.old) else None, block.new[n] if n < len(block.new) else None) for n in range(size)
    ]


def _flat_share(block: Block, old: Sequence[Column], new: Sequence[Column], lexicon: Lexicon) -> float:
    """Share of equal tones, ties joined, over all parts. Empty bars are equal to empty bars."""
    before, after = flat(old[block.old.start : block.old.stop], lexicon), flat(new[block.new.start : block.new.stop], lexicon)
    size = max(before.total(), after.total())
    return (before & after).total() / size if size else 1.0


def flat(columns: Sequence[Column], lexicon: Lexicon) -> Counter[tuple[int, int, int, int]]:
    """The tones of these bars without barlines: part, onset, length and cents, notes that are tied joined."""
    found: list[list[int]] = []
    waiting: dict[tuple[int, int, int], list[int]] = {}
    start = 0
    for column in columns:
        for part, bar in enumerate(column):
            for head in sorted(lexicon.heads[code] for code in (bar.heads if bar is not None else ())):
                cents, at = lexicon.cents[head[SOUNDING]], start + head.at
                tone = waiting.pop((part, at, cents), None)
                if tone is None:
                    tone = [part, at, head.length, cents]
                    found.append(tone)
                else:
                    tone[2] += head.length
                if head.tie & 1:
                    waiting[part, at + head.length, cents] = tone
        start += _length(column)
    return Counter((part, at, length, cents) for part, at, length, cents in found)


def _moved(found: list[Block], old: Sequence[Column], new: Sequence[Column], distance: Distance) -> list[Block]:
    """Finds bars that were cut in one place among those put in at another; runs of them stay together."""
    gone = [block.old.start for block in found if block.kind == "deleted"]
    came = [block.new.start for block in found if block.kind == "inserted"]
    source: dict[int, int] = {}
    taken: set[int] = set()
    for j in came:
        before = source.get(j - 1)
        following = [before + 1] if before is not None and before + 1 in gone else []
        for i in (*following, *gone):
            if i in taken:
                continue
            difference = 0.0 if _equal(old[i], new[j]) else distance.columns(old[i], new[j])
            sounding = any(bar.heads for bar in old[i] if bar is not None)
            if difference <= NEAR * (weight(old[i]) - costs.BAR) and (sounding or i in following):
                source[j] = i
                taken.add(i)
                break
    result = []
    for block in found:
        if block.kind == "inserted" and block.new.start in source:
            i = source[block.new.start]
            result.append(Block("moved", range(i, i + 1), block.new))
        elif not (block.kind == "deleted" and block.old.start in taken):
            result.append(block)
    return result


def _equal(old: Column, new: Column) -> bool:
    return all(
        (one is None) == (other is None) and (one is None or other is None or one.key == other.key)
        for one, other in zip(old, new, strict=True)
    )


def _repeated(found: list[Block], old: Sequence[Column], new: Sequence[Column]) -> Iterator[Block]:
    """Finds bars put in that are bars of the old file once more; where several will do, those that go on with the last."""
    places: dict[object, list[int]] = {}
    for i, column in enumerate(old):
        if any(bar.heads for bar in column if bar is not None):
            places.setdefault(_content(column), []).append(i)
    last = -2
    for block in found:
        if block.kind == "inserted":
            again = places.get(_content(new[block.new.start]), ())
            source = min(again, key=lambda i: (i != last + 1, abs(i - block.old.start + 0.5)), default=None)
            if source is not None:
                last = source
                yield replace(block, kind="repeated", old=range(source, source + 1))
                continue
        last = -2
        yield block


def _content(column: Column) -> object:
    return tuple(bar.key if bar is not None else None for bar in column)
