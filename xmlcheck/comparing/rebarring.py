"""The same music in other bars: one bar divided, several joined, a passage barred otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import accumulate

from xmlcheck.comparing.block import Block
from xmlcheck.comparing.columns import Column, length
from xmlcheck.comparing.lexicon import Lexicon
from xmlcheck.comparing.sequences import Step

FLAT = 0.6
"""Share of equal notes from which on bars of one total length are the same music barred otherwise (ours)."""


def stretches(
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
    return i is not None and j is not None and length(old[i]) == length(new[j])


def _barred(
    run: list[Step], old: Sequence[Column], new: Sequence[Column], lexicon: Lexicon
) -> Iterator[tuple[Block | None, list[Step]]]:
    """A run in which bars differ in length or number. Cut at the barlines that both files have in common."""
    rows, cells = [i for i, _ in run if i is not None], [j for _, j in run if j is not None]
    ends_old = list(accumulate(length(old[i]) for i in rows))
    ends_new = list(accumulate(length(new[j]) for j in cells))
    if not rows or not cells or ends_old[-1] != ends_new[-1]:
        yield None, run
        return
    found: list[tuple[Block | None, list[Step]]] = []
    first, second = rows[0], cells[0]
    for end in sorted(set(ends_old) & set(ends_new)):
        block = Block("rebarred", range(first, rows[ends_old.index(end)] + 1), range(second, cells[ends_new.index(end)] + 1))
        single = len(block.old) == len(block.new) == 1
        if not single and _flat_share(block, old, new, lexicon) >= FLAT:
            found.append((block, []))
        else:
            inside = [(i, j) for i, j in run if (i is None or i in block.old) and (j is None or j in block.new)]
            found.append((None, inside if _covers(inside, block) else _one_by_one(block)))
        first, second = block.old.stop, block.new.stop
    if any(block is not None for block, _ in found):
        yield from found
    else:
        yield None, run


def _covers(steps: Sequence[Step], block: Block) -> bool:
    return [i for i, _ in steps if i is not None] == list(block.old) and [j for _, j in steps if j is not None] == list(
        block.new
    )


def _one_by_one(block: Block) -> list[Step]:
    size = max(len(block.old), len(block.new))
    return [(block.old[n] if n < len(block.old) else None, block.new[n] if n < len(block.new) else None) for n in range(size)]


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
                cents, at = lexicon.cents[head.sounding], start + head.at
                tone = waiting.pop((part, at, cents), None)
                if tone is None:
                    tone = [part, at, head.length, cents]
                    found.append(tone)
                else:
                    tone[2] += head.length
                if head.tie:
                    waiting[part, at + head.length, cents] = tone
        start += length(column)
    return Counter((part, at, length, cents) for part, at, length, cents in found)
