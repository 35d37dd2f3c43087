"""The comparison of the music: parts are paired, bars aligned, what differs in them is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from xmlcheck.comparing import costs, headers, notes, partners, rewriting, signs, structure
from xmlcheck.comparing.block import Block
from xmlcheck.comparing.blocks import blocks, cost_of
from xmlcheck.comparing.change import Change, PartMatch, Run
from xmlcheck.comparing.columns import Column, content
from xmlcheck.comparing.exact import Exact
from xmlcheck.comparing.lexicon import SOUNDING, WRITTEN, Lexicon
from xmlcheck.comparing.matching import Eye, placed
from xmlcheck.comparing.merging import merged
from xmlcheck.comparing.moments import Moments, grain, grid, tolerance
from xmlcheck.comparing.pairing import PartPair, pair
from xmlcheck.comparing.raw import Raw
from xmlcheck.comparing.revision import Revision
from xmlcheck.comparing.runs import Event, Passage, passages
from xmlcheck.comparing.spans import grouped, joined
from xmlcheck.comparing.spots import Spots
from xmlcheck.comparing.tell import Teller, numbered, with_cost
from xmlcheck.comparing.view import BarView, PartView, everyone, part_view

_NOTHING = BarView()
_COMMON = 0.3
"""Share of equal bars from which on nobody asks whether it was written in other values."""
_ALONE = 0.25
"""Share of a part's bars that must differ before its bars are aligned without those of the other parts."""


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
    if desk.alike() >= _COMMON:
        return desk.music()
    scale = rewriting.factor(old.score, new.score, [(one.old or 0, one.new or 0) for one in desk.both])
    if scale == 1:
        return desk.music()
    music = _Desk(old, new, scale).music()
    return replace(music, changes=numbered([rewriting.change(scale), *music.changes]))


class _Desk:
    """One comparison at work: both scores as views on one grid."""

    def __init__(self, old: Revision, new: Revision, scale: Fraction = Fraction(1)) -> None:
        self.old, self.new = old.score, new.score
        self.common = grid(self.old.resolution, self.new.resolution)
        self.slack = tolerance(self.old.resolution, self.new.resolution, self.common)
        self.lexicon = Lexicon()
        rounds = grain(self.old.resolution, self.new.resolution)
        self.moments = (
            Moments(self.old.resolution, rounds, self.common, scale),
            Moments(self.new.resolution, rounds, self.common),
        )
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

    def alike(self) -> float:
        """Share of bars that are equal, wherever they stand; 1 where there are none."""
        before, after = (
            Counter(
                (number, bar.heads) for number, one in enumerate(self.both) for bar in self._views(one)[at].bars if bar.heads
            )
            for at in (0, 1)
        )
        size = max(before.total(), after.total())
        return (before & after).total() / size if size else 1.0

    def music(self) -> Music:
        changes: list[Change] = [*headers.score_changes(self.old, self.new)]
        by_part: dict[str, list[Change]] = {}
        for change in headers.part_changes(self.old, self.new, self.pairs):
            by_part.setdefault(change.part or "", []).append(change)
        runs: list[Run] = []
        groups = self._groups()
        while groups:
            group = groups.pop(0)
            found, told, loners = self._group(group, first=not runs, loners=bool(group) and len(group) > 1)
            groups[:0] = [[one] for one in loners]
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

    def _group(
        self, group: Sequence[PartPair], first: bool, loners: bool
    ) -> tuple[tuple[Run, ...], list[Change], list[PartPair]]:
        """Aligns the bars of parts that share them, and tells what differs in each; and the parts that are out of step with the
        others, which are left out. first: the group also tells what is for all. loners: whether to look for such parts."""
        found, columns = self._aligned(group)
        apart = [one for one in group if loners and self._alone(one, found)]
        if apart and len(apart) < len(group):
            group = [one for one in group if not any(one is other for other in apart)]
            found, columns = self._aligned(group)
        else:
            apart = []
        ids = tuple(self.new.parts[one.new or 0].id for one in group)
        name = ids[0] if len(ids) == 1 < len(self.both) else None
        spots = [self._spots(one) for one in group]
        told = [*structure.bar_changes(found, *spots[0], columns, name)]
        if name is None and len(ids) < len(self.both):
            told = [replace(change, parts=ids) for change in told]
        if first:
            told += self._signs_for_all(group, found, spots[0])
        by_part = [self._part(one, found, spots[place]) for place, one in enumerate(group)]
        told += merged(by_part, [self.new.parts[one.new or 0] for one in group], len(self.both))
        return structure.runs(found, name), told, apart

    def _aligned(self, group: Sequence[PartPair]) -> tuple[tuple[Block, ...], tuple[list[Column], list[Column]]]:
        views = [self._views(one) for one in group]
        all_old, all_new = self._everyone(group)
        old, new = _columns([view for view, _ in views] + [all_old]), _columns([view for _, view in views] + [all_new])
        eyes = [Eye(self.lexicon, basis, self.slack) for basis in (*(self.basis[id(one)] for one in group), SOUNDING)]
        return blocks(old, new, Exact(eyes), self.lexicon), (old, new)

    def _everyone(self, group: Sequence[PartPair]) -> tuple[PartView, PartView]:
        old = [self.old.parts[one.old] for one in group if one.old is not None]
        new = [self.new.parts[one.new] for one in group if one.new is not None]
        return everyone(old, self.lexicon, self.moments[0]), everyone(new, self.lexicon, self.moments[1])

    def _alone(self, one: PartPair, found: Sequence[Block]) -> bool:
        """Whether aligning the bars of one part for itself tells far less: its music moved against the other parts."""
        old, new = ([_column(bar) for bar in view.bars] for view in self._views(one))
        pairs = [(old[b.old.start], new[b.new.start]) for b in found if b.kind == "matched"]
        unlike = [(before, after) for before, after in pairs if content(before) != content(after)]
        if len(unlike) < max(3, _ALONE * len(pairs)):
            return False
        exact = Exact([Eye(self.lexicon, self.basis[id(one)], self.slack)])
        together = sum(exact.of(before, after) for before, after in unlike)
        own = blocks(old, new, exact, self.lexicon)
        return cost_of(own, old, new, exact) + costs.PASSAGE < together / 2

    def _spots(self, one: PartPair) -> tuple[Spots, Spots]:
        old, new = self._views(one)
        before, after = self.old.parts[one.old or 0], self.new.parts[one.new or 0]
        return Spots(before, self.old.resolution, old.signs_of), Spots(after, self.new.resolution, new.signs_of)

    def _signs_for_all(self, group: Sequence[PartPair], found: Sequence[Block], spots: tuple[Spots, Spots]) -> Iterator[Change]:
        old, new = self._everyone(group)
        teller = Teller(
            None,
            Spots(spots[0].part, self.old.resolution, old.signs_of),
            Spots(spots[1].part, self.new.resolution, new.signs_of),
        )
        raws: list[Raw] = []
        for number, block in enumerate(found):
            if not (block.old and block.new):
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
            if not (block.old and block.new):
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
        teller = Teller(part, *spots)
        old, new = self._views(one)
        told: list[tuple[tuple[int, int], Change]] = []
        used: set[int] = set()
        for passage in passages(events):
            used.update(id(raw) for raw in passage.moved)
            told.append(
                (passage.moved[0].place, _priced(teller.passage(passage, passage.moved[0], passage.moved[-1]), passage))
            )
        rest = [raw for raw in raws if id(raw) not in used]
        for raw in grouped(_joined(rest, old, new)):
            block = found[raw.place[0]]
            told.append((raw.place, teller.change(raw, block.old.start, block.new.start)))
        told.sort(key=lambda item: item[0])
        forces = [*structure.force_changes(found, old.states, new.states, spots, part, self.basis[id(one)])]
        return [*forces, *(change for _, change in told)]


def _joined(raws: list[Raw], old: PartView, new: PartView) -> list[Raw]:
    """Starts with their stops; who belongs to whom is looked up only where any of them changed."""
    if not any(raw.span[0] for raw in raws) or old.part is None or new.part is None:
        return joined(raws)
    notes_of = partners.of_notes(old.part), partners.of_notes(new.part)
    return joined(raws, notes_of, (partners.of_directions(old.signs_of), partners.of_directions(new.signs_of)))


def _priced(change: Change, passage: Passage) -> Change:
    stayed = sum(event.count for event in passage.stayed)
    cost = costs.PASSAGE + costs.EXCEPTION * stayed + costs.SPELLING * len(passage.respelled)
    return with_cost(change, cost)


def _column(bar: BarView) -> Column:
    return (bar,)


def _columns(views: Sequence[PartView]) -> list[Column]:
    count = max((len(view.bars) for view in views), default=0)
    return [tuple(view.bars[n] if n < len(view.bars) else _NOTHING for view in views) for n in range(count)]
