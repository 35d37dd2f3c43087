"""Bars as wholes: what was put in, cut, moved, repeated or barred otherwise; and what is in force in them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from xmlcheck.comparing import costs, telling
from xmlcheck.comparing.block import Block
from xmlcheck.comparing.change import Change, Run, Stretch
from xmlcheck.comparing.columns import Column, weight
from xmlcheck.comparing.lexicon import SOUNDING, WRITTEN
from xmlcheck.comparing.numbering import numbers
from xmlcheck.comparing.spots import Spots
from xmlcheck.comparing.states import Force, InBar, States
from xmlcheck.comparing.tell import layer


def together(blocks: Iterable[Block]) -> Iterator[list[Block]]:
    """Consecutive blocks of one kind that follow one another in the new file, and in the old one too."""
    group: list[Block] = []
    for block in blocks:
        if group and not _follows(group[-1], block):
            yield group
            group = []
        group.append(block)
    if group:
        yield group


def _follows(before: Block, block: Block) -> bool:
    if before.kind != block.kind or before.new.stop != block.new.start:
        return False
    return block.kind == "inserted" or before.old.stop == block.old.start


def runs(blocks: Iterable[Block], part: str | None) -> tuple[Run, ...]:
    """Bars that are the same bars, moved ones too."""
    found = []
    for group in together(block for block in blocks if block.kind in ("matched", "moved")):
        found.append(Run(group[0].old.start, group[0].new.start, len(group), part))
    return tuple(found)


def bar_changes(
    blocks: Sequence[Block], old: Spots, new: Spots, columns: tuple[Sequence[Column], Sequence[Column]], part: str | None
) -> Iterator[Change]:
    """The changes of whole bars, in the order of the new file."""
    for group in together(block for block in blocks if block.kind != "matched"):
        kind, count = group[0].kind, len(group)
        first_old, last_old = group[0].old.start, group[-1].old.stop - 1
        first_new, last_new = group[0].new.start, group[-1].new.stop - 1
        there = new.stretch(first_new, last_new) if last_new >= first_new else None
        here = old.stretch(first_old, last_old) if last_old >= first_old else None
        values: dict[str, Any] = {"bars": count}
        told = bars(here) if here else ""
        if kind == "inserted":
            cost = sum(weight(columns[1][j]) for j in range(first_new, last_new + 1))
            after = old.bar(first_old - 1) if first_old else None
            values |= {"after": after, "numbers": list(numbers(after, count, old.taken))}
            yield _change("bars-inserted", part, None, there, telling.counted(count, "new bar"), "new bar", values, cost)
        elif kind == "deleted":
            cost = sum(weight(columns[0][i]) for i in range(first_old, last_old + 1))
            values["before_index"] = first_new
            yield _change("bars-deleted", part, here, None, f"{told} cut", f"{told} cut here", values, cost)
        elif kind == "moved":
            yield _change("bars-moved", part, here, there, f"moved here from {told}", "moved here", values, costs.PASSAGE)
        elif kind == "repeated":
            text = f"{told} once more"
            yield _change("bars-repeated", part, here, there, text, "bars repeated", values, costs.PASSAGE)
        elif here is not None and there is not None:
            yield _rebarred(part, here, there)


def _rebarred(part: str | None, here: Stretch, there: Stretch) -> Change:
    before, after = here.bars, there.bars
    kind = "bars-split" if before == 1 else "bars-joined" if after == 1 else "rebarred"
    text = f"the same music, {telling.counted(before, 'bar')} before ({bars(here)}), now {telling.counted(after, 'bar')}"
    label = {"bars-split": "bar divided", "bars-joined": "bars joined", "rebarred": "barred otherwise"}[kind]
    return _change(kind, part, here, there, text, label, {"old_bars": before, "new_bars": after}, costs.PASSAGE)


def _change(
    kind: str, part: str | None, here: Stretch | None, there: Stretch | None, text: str, label: str, values: Mapping[str, Any], cost: float
) -> Change:  # fmt: skip
    return Change(0, kind, layer(kind), part, here, there, text, label, values=values, cost=round(cost, 3))


def bars(stretch: Stretch) -> str:
    """`bar 12`, `bars 12-15`."""
    return f"bar {stretch.bar}" if stretch.bar_index == stretch.to_bar_index else f"bars {stretch.bar}-{stretch.to_bar}"


_HEARD = {WRITTEN: "; the written notes stayed, what is heard did not", SOUNDING: "; what is heard stayed"}


def force_changes(
    blocks: Sequence[Block], old: States, new: States, spots: tuple[Spots, Spots], part: str | None, basis: int
) -> Iterator[Change]:
    """Meter, key, clef, transposition and tuning, each told once for as long as it is another."""
    for column, kind in enumerate(new.kinds):
        run: tuple[Force, Force] | None = None
        first = last = blocks[0] if blocks else None
        for block in blocks:
            if block.kind not in ("matched", "moved", "rebarred") or (kind == "meter" and block.kind == "rebarred"):
                continue
            for pair in _segments(old.bars[block.old.start][column], new.bars[block.new.start][column]):
                if run is not None and pair != run and first is not None and last is not None:
                    yield _force(kind, run, first, last, spots, part, basis)
                    run = None
                if pair[0] != pair[1]:
                    first = first if run is not None else block
                    run, last = pair, block
        if run is not None and first is not None and last is not None:
            yield _force(kind, run, first, last, spots, part, basis)


def _segments(old: InBar, new: InBar) -> Iterator[tuple[Force, Force]]:
    """What is in force on both sides, from change to change in one bar."""
    for at in sorted({at for at, _ in (*old, *new)}):
        yield _at(old, at), _at(new, at)


def _at(entries: InBar, at: int) -> Force:
    return [force for place, force in entries if place <= at][-1]


def _force(
    kind: str,
    run: tuple[Force, Force],
    first: Block,
    last: Block,
    spots: tuple[Spots, Spots],
    part: str | None,
    basis: int,
) -> Change:
    was, now = telling.force(kind, run[0]), telling.force(kind, run[1])
    return Change(
        0,
        kind,
        layer(kind),
        part,
        spots[0].stretch(first.old.start, last.old.stop - 1),
        spots[1].stretch(first.new.start, last.new.stop - 1),
        (f"{kind} {was} is now {now}" if run[0] else f"{kind} {now} is new")
        + (_HEARD[basis] if kind == "transposition" else ""),
        f"{kind} changed",
        was=was,
        now=now,
        values={"was": run[0], "now": run[1]},
        cost=costs.STATE,
    )
