"""From aligned bars to blocks: what is matched, put in, cut, moved, repeated, or the same music in other bars."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from xmlcheck.comparing import costs
from xmlcheck.comparing.align import Aligner
from xmlcheck.comparing.block import Block
from xmlcheck.comparing.columns import Column, content, weight
from xmlcheck.comparing.exact import NEAR, Exact
from xmlcheck.comparing.lexicon import Lexicon
from xmlcheck.comparing.moves import moved, repeated
from xmlcheck.comparing.rebarring import stretches
from xmlcheck.comparing.sequences import Step

_OTHER_WAYS = ((True, False, False), (False, True, False), (True, True, False), (False, False, True), (False, True, True))
"""Ways to align bars that are tried where the plain one leaves bars taken out or greatly changed: see `Aligner.steps`."""


_AKIN, _SHORT = 0.2, 60
"""Share of equal bars below which two files, if they are not short, are two pieces and not two revisions."""
_EVEN = 1e-6
_STRETCHES = 12
"""Stretches in which two accounts differ, above which they are not mixed."""
_REWRITTEN, _MOSTLY = 1.2, 0.6
"""A bar that is told note by note although most of it is new makes a worse account than one told as new."""


def blocks(old: Sequence[Column], new: Sequence[Column], exact: Exact, lexicon: Lexicon) -> tuple[Block, ...]:
    """The blocks of the whole score, in the order of the new file: of several accounts the cheapest."""
    aligner = Aligner(old, new, exact.estimate)
    best = aligner.steps()
    found = _blocks(best, old, new, exact, lexicon)
    if _simple(found, old, new, exact) or not _akin(found, old, new):
        return found
    least = cost_of(found, old, new, exact)
    for moves, near, loose in _OTHER_WAYS:
        for steps in _mixed(best, aligner.steps(moves, near, loose)):
            other = _blocks(steps, old, new, exact, lexicon)
            cost = cost_of(other, old, new, exact)
            if cost < least - _EVEN:
                best, found, least = steps, other, cost
    return found


def _mixed(steps: list[Step], others: list[Step]) -> Iterator[list[Step]]:
    """The other account, and this one with each stretch of the other that differs, at most a few."""
    if steps == others:
        return
    yield others
    common = [step for step in set(steps) & set(others) if None not in step]
    cuts = sorted((steps.index(step), others.index(step)) for step in common)
    stretches_of: list[tuple[slice, slice]] = []
    before = (0, 0)
    for mine, theirs in (*cuts, (len(steps), len(others))):
        one, other = slice(before[0], mine), slice(before[1], theirs)
        if steps[one] != others[other]:
            stretches_of.append((one, other))
        before = (mine + 1, theirs + 1)
    if 1 < len(stretches_of) <= _STRETCHES:
        for one, other in stretches_of:
            yield [*steps[: one.start], *others[other], *steps[one.stop :]]


def _blocks(
    steps: list[Step], old: Sequence[Column], new: Sequence[Column], exact: Exact, lexicon: Lexicon
) -> tuple[Block, ...]:
    found: list[Block] = []
    for rebarred, stretch in stretches(steps, old, new, lexicon):
        if rebarred is not None:
            found.append(rebarred)
        else:
            found += _plain(stretch, found[-1] if found else None)
    return tuple(repeated(moved(found, old, new, exact), old, new, exact))


def _simple(found: Sequence[Block], old: Sequence[Column], new: Sequence[Column], exact: Exact) -> bool:
    """Whether there is nothing that another account could tell shorter: no bar taken out, none greatly changed."""
    return all(
        block.kind not in ("deleted", "repeated")
        and (
            block.kind != "matched"
            or exact.of(old[block.old.start], new[block.new.start]) <= NEAR * weight(old[block.old.start])
        )
        for block in found
    )


def _akin(found: Sequence[Block], old: Sequence[Column], new: Sequence[Column]) -> bool:
    """Whether the files have so much in common that it is worth looking for the shortest account."""
    equal = sum(block.kind == "matched" and content(old[block.old.start]) == content(new[block.new.start]) for block in found)
    return len(found) <= _SHORT or equal >= _AKIN * len(found)


def cost_of(found: Sequence[Block], old: Sequence[Column], new: Sequence[Column], exact: Exact) -> float:
    """What an account costs, notes estimated."""
    total = 0.0
    before: Block | None = None
    for block in found:
        if block.kind == "inserted":
            total += weight(new[block.new.start])
        elif block.kind == "deleted":
            total += weight(old[block.old.start])
        else:
            goes_on = before is not None and (before.kind, before.old.stop, before.new.stop) == (
                block.kind, block.old.start, block.new.start,
            )  # fmt: skip
            total += costs.PASSAGE if block.kind != "matched" and not goes_on else 0.0
            if block.kind != "rebarred":
                cost = exact.of(old[block.old.start], new[block.new.start])
                total += cost if cost <= _MOSTLY * weight(old[block.old.start]) else _REWRITTEN * cost
        before = block
    return total


def _plain(steps: Sequence[Step], before: Block | None) -> Iterator[Block]:
    at_old, at_new = (before.old.stop, before.new.stop) if before is not None else (0, 0)
    for i, j in steps:
        kind = "matched" if i is not None and j is not None else "inserted" if i is None else "deleted"
        rows = range(at_old, at_old) if i is None else range(i, i + 1)
        cells = range(at_new, at_new) if j is None else range(j, j + 1)
        yield Block(kind, rows, cells)
        at_old, at_new = rows.stop, cells.stop
