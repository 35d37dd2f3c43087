"""The comparison of the music: parts are paired, bars aligned, what differs in them is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from xmlcheck.comparing import costs, headers, notes, signs, structure
from xmlcheck.comparing.blocks import Block, blocks
from xmlcheck.comparing.change import Change, PartMatch, Run
from xmlcheck.comparing.columns import Column, Distance
from xmlcheck.comparing.lexicon import SOUNDING, WRITTEN, Lexicon
from xmlcheck.comparing.matching import Eye, placed
from xmlcheck.comparing.moments import Moments, grid, tolerance
from xmlcheck.comparing.pairing import PartPair, pair
from xmlcheck.comparing.raw import Raw
from xmlcheck.comparing.revision import Revision
from xmlcheck.comparing.runs import Event, Passage, passages
from xmlcheck.comparing.spans import grouped, joined
from xmlcheck.comparing.spots import Spots
from xmlcheck.comparing.tell import Teller, numbered, with_cost
from xmlcheck.comparing.view import BarView, PartView, everyone, part_view
from xmlcheck.model import Part, Score

_NOTHING = BarView()


@dataclass(frozen=True, slots=True)
class Music:
    """What differs in the music. runs: bars that are the same bars; parts: which part is which."""

    parts: tuple[PartMatch, ...]
    runs: tuple[Run, ...]
    changes: tuple[Change, ...]

    @property
    def same(self) -> bool:
        return not self.changes


def compare_music(old: Revision, new: Revision) -> Music:
    """All differences of two files, the whole score first, then part by part in the new file's order."""
    desk = _Desk(old, new)
    return desk.music()


class _Desk:
    """One comparison at work: both scores as views on one grid."""

    def __init__(self, old: Revision, new: Revision, scale: Fraction = Fraction(1)) -> None:
        self.old, self.new = old.score, new.score
        self.common = grid(self.old.resolution, self.new.resolution)
        self.slack = tolerance(self.old.resolution, self.new.resolution, self.common)
        self.lexicon = Lexicon()
        self.moments = Moments(self.old.resolution, self.common, scale), Moments(self.new.resolution, self.common)
        plain = scale != 1
        self.views = (
            [part_view(part, self.lexicon, self.moments[0], old.sung, plain) for part in self.old.parts],
            [part_view(part, self.lexicon, self.moments[1], new.sung, plain) for part in self.new.parts],
        )
        self.pairs = pair(*self.views)
        self.both = [one for one in self.pairs if one.old is not None and one.new is not None]
        self.basis = {id(one): self._basis(*self._views(one)) for one in self.both}

    def _views(self, one: PartPair) -> tuple[PartView, PartView]:
        return self.views[0][one.old or 0], self.views[1][one.new or 0]

    def _basis(self, old: PartView, new: PartView) -> int:
        """Sounding pitch, unless the transposition changed and it is the written notes that stayed."""
        column = old.states.kinds.index("transposition") if old.states.kinds else 0
        if {bar[column] for bar in old.states.bars} == {bar[column] for bar in new.states.bars}:
            return SOUNDING
        shares = {}
        for basis in (SOUNDING, WRITTEN):
            before, after = (
                Counter(self.lexicon.core(code, basis) for bar in view.bars for code in bar.heads) for view in (old, new)
            )
            shares[basis] = (before & after).total()
        return WRITTEN if shares[WRITTEN] > shares[SOUNDING] else SOUNDING

    def music(self) -> Music:
        changes: list[Change] = [*headers.score_changes(self.old, self.new)]
        by_part: dict[str, list[Change]] = {}
        for change in headers.part_changes(self.old, self.new, self.pairs):
            by_part.setdefault(change.part or "", []).append(change)
        runs: list[Run] = []
        for number, group in enumerate(self._groups()):
            whole = number == 0 and len(group) == max(1, len(self.both))
            found, told = self._group(group, whole or number == 0, None if number == 0 else group[0])
            runs += found
            for change in told:
                if change.part is None:
                    changes.append(change)
                else:
                    by_part.setdefault(change.part, []).append(change)
        for one in self.pairs:
            part = self.new.parts[one.new] if one.new is not None else self.old.parts[one.old or 0]
            changes += by_part.pop(part.id, [])
        told_parts = tuple(self._match(one, changes) for one in self.pairs)
        return Music(told_parts, tuple(runs), numbered(changes))

    def _match(self, one: PartPair, changes: Iterable[Change]) -> PartMatch:
        before = self.old.parts[one.old] if one.old is not None else None
        after = self.new.parts[one.new] if one.new is not None else None
        id = after.id if after is not None else before.id if before is not None else ""
        return PartMatch(
            before.id if before else None,
            after.id if after else None,
            headers.called(before) if before else None,
            headers.called(after) if after else None,
            round(one.content, 3),
            sum(change.part == id or id in change.parts for change in changes),
        )

    def _groups(self) -> list[list[PartPair]]:
        """Parts that share their bars, and every other one by itself."""
        sizes = Counter((len(self._views(one)[0].bars), len(self._views(one)[1].bars)) for one in self.both)
        if not sizes:
            return []
        shared = max(sizes, key=lambda size: (sizes[size], size))
        first = [one for one in self.both if tuple(len(view.bars) for view in self._views(one)) == shared]
        return [first, *([one] for one in self.both if not any(one is other for other in first))]

    def _group(self, group: Sequence[PartPair], for_all: bool, alone: PartPair | None) -> tuple[tuple[Run, ...], list[Change]]:
        """Aligns the bars of parts that share them, and tells what differs in each."""
        views = [self._views(one) for one in group]
        all_old, all_new = (
            everyone(score, [score.parts[index] for index in indices], self.lexicon, moments)
            for score, indices, moments in (
                (self.old, [one.old for one in group if one.old is not None], self.moments[0]),
                (self.new, [one.new for one in group if one.new is not None], self.moments[1]),
            )
        )
        old, new = _columns([view for view, _ in views] + [all_old]), _columns([view for _, view in views] + [all_new])
        distance = Distance(self.lexicon, [*(self.basis[id(one)] for one in group), SOUNDING])
        found = blocks(old, new, distance, self.lexicon)
        name = None if alone is None else self.new.parts[alone.new or 0].id
        spots = [self._spots(one) for one in group]
        told = [*structure.bar_changes(found, *spots[0], (old, new), name)]
        if for_all:
            told += self._signs_for_all(found, all_old, all_new, spots[0])
        by_part = [self._part(one, found, spots[place]) for place, one in enumerate(group)]
        told += merged(by_part, [self.new.parts[one.new or 0] for one in group])
        return structure.runs(found, name), told

    def _spots(self, one: PartPair) -> tuple[Spots, Spots]:
        before, after = self.old.parts[one.old or 0], self.new.parts[one.new or 0]
        return Spots(before, self.old.resolution), Spots(after, self.new.resolution)

    def _signs_for_all(
        self, found: Sequence[Block], old: PartView, new: PartView, spots: tuple[Spots, Spots]
    ) -> Iterator[Change]:
        teller = Teller(None, *spots, self.common)
        raws = []
        for number, block in enumerate(found):
            if block.kind not in ("matched", "moved", "rebarred"):
                continue
            before = old.bars[block.old.start : block.old.stop]
            after = new.bars[block.new.start : block.new.stop]
            if len(before) != 1 or len(after) != 1 or before[0].signs != after[0].signs:
                raws += signs.changes(
                    signs.placed_signs(before, block.old.start, self.lexicon),
                    signs.placed_signs(after, block.new.start, self.lexicon),
                    self.slack,
                    number,
                )
        for raw in sorted(raws, key=lambda one: one.place):
            block = found[raw.place[0]]
            yield teller.change(raw, block.old.start, block.new.start)

    def _part(self, one: PartPair, found: Sequence[Block], spots: tuple[Spots, Spots]) -> list[Change]:
        old, new = self._views(one)
        eye = Eye(self.lexicon, self.basis[id(one)], self.slack)
        raws: list[Raw] = []
        events: list[Event] = []
        for number, block in enumerate(found):
            if block.kind not in ("matched", "moved", "rebarred"):
                continue
            before, after = old.bars[block.old.start : block.old.stop], new.bars[block.new.start : block.new.stop]
            single = len(before) == len(after) == 1
            if single and before[0].heads == after[0].heads:
                events += [Event((number, 0), 0, None, len(after[0].heads))] if after[0].heads else []
            else:
                own, moved = notes.changes(
                    placed(before, block.old.start, self.lexicon), placed(after, block.new.start, self.lexicon), eye, number
                )
                raws += own
                events += [Event((number, at), interval, raw) for at, interval, raw in sorted(moved, key=lambda item: item[0])]
            if not single or before[0].signs != after[0].signs:
                raws += signs.changes(
                    signs.placed_signs(before, block.old.start, self.lexicon),
                    signs.placed_signs(after, block.new.start, self.lexicon),
                    self.slack,
                    number,
                )
        return self._told(raws, events, found, spots, one)

    def _told(
        self, raws: list[Raw], events: list[Event], found: Sequence[Block], spots: tuple[Spots, Spots], one: PartPair
    ) -> list[Change]:
        part = self.new.parts[one.new or 0].id
        teller = Teller(part, *spots, self.common)
        told: list[tuple[tuple[int, int], Change]] = []
        used: set[int] = set()
        for passage in passages(events):
            used.update(id(raw) for raw in passage.moved)
            told.append((passage.moved[0].place, _priced(teller.passage(passage, passage.moved[0], passage.moved[-1]), passage)))
        for raw in grouped(joined(raw for raw in raws if id(raw) not in used)):
            block = found[raw.place[0]]
            told.append((raw.place, teller.change(raw, block.old.start, block.new.start)))
        told.sort(key=lambda item: item[0])
        old, new = self._views(one)
        forces = [*structure.force_changes(found, old.states, new.states, spots, part)]
        return [*forces, *(change for _, change in told)]


def _priced(change: Change, passage: Passage) -> Change:
    stayed = sum(event.count for event in passage.stayed)
    cost = costs.PASSAGE + costs.EXCEPTION * stayed + costs.SPELLING * len(passage.respelled)
    return with_cost(change, cost)


def _columns(views: Sequence[PartView]) -> list[Column]:
    count = max((len(view.bars) for view in views), default=0)
    return [tuple(view.bars[n] if n < len(view.bars) else _NOTHING for view in views) for n in range(count)]


def merged(by_part: Sequence[list[Change]], parts: Sequence[Part]) -> list[Change]:
    """What is the same change in every part (meter, key, barlines) is told once."""
    if len(by_part) < 2:
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
    bars = [(one.old.bar_index, one.old.to_bar_index, one.new.bar_index, one.new.to_bar_index) for one in (change, other) if one.old and one.new]
    return bars[0] == bars[1] and _turn(change) == _turn(other)


def _turn(change: Change) -> object:
    """What changed: of keys how far, because transposing parts have other signatures."""
    if change.kind == "key":
        was, now = (tuple(one for _, one in change.values[side]) for side in ("was", "now"))
        if len(was) == len(now) == 1 and isinstance(was[0], int) and isinstance(now[0], int):
            return (now[0] - was[0]) % 12
    return change.was, change.now
