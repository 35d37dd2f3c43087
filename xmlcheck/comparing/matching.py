"""Which notehead of a changed bar is which: the cheapest account of what happened to the notes.

First what is the same, or the same after one interval for all; then one note that was written as several, or the reverse; then
what is left, by the alignment of `sequences`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from xmlcheck.comparing import costs
from xmlcheck.comparing.columns import best_interval
from xmlcheck.comparing.lexicon import CUE_OR_GRACE, Head, Lexicon
from xmlcheck.comparing.sequences import path
from xmlcheck.comparing.view import BarView


class Placed(NamedTuple):
    """A head in a block. at: ticks from the start of the block. bar: bar index; note: index in `Part.notes`."""

    at: int
    head: Head
    code: int
    bar: int
    note: int


class Pair(NamedTuple):
    """What became of what: one head and one head; one side empty where a note came or went; several where it was divided."""

    old: tuple[Placed, ...]
    new: tuple[Placed, ...]


class Eye(NamedTuple):
    """How heads are looked at: by which pitch, and how many ticks are rounding."""

    lexicon: Lexicon
    basis: int
    slack: int

    def cents(self, placed: Placed) -> int:
        return self.lexicon.cents[placed.head.pitch(self.basis)]


def placed(bars: Sequence[BarView], first: int, lexicon: Lexicon, starts: Sequence[int] | None = None) -> list[Placed]:
    """All heads of consecutive bars, in order of time and pitch. first: index of the first of them. starts: ticks of each."""
    found = []
    start = 0
    for number, bar in enumerate(bars):
        begin = start if starts is None else starts[number]
        for code, note in zip(bar.heads, bar.notes, strict=True):
            head = lexicon.heads[code]
            found.append(Placed(begin + head.at, head, code, first + number, note))
        start += bar.length
    return found


def match(old: Sequence[Placed], new: Sequence[Placed], eye: Eye) -> list[Pair]:
    """Every head of both sides in one pair each; those that are equal in all they hold are pairs too."""
    pairs: list[Pair] = []
    left, right = list(old), list(new)
    for interval in _intervals(left, right, eye):
        for key in _keys(interval, eye):
            left, right = _take(left, right, key[0], key[1], pairs)
    if left and right:
        left, right = _pieces(left, right, eye, pairs)
        turned: list[Pair] = []
        right, left = _pieces(right, left, eye, turned)
        pairs += [Pair(pair.new, pair.old) for pair in turned]
        left, right = _retied(left, right, eye, pairs)
    for i, j in _rest(left, right, eye):
        pairs.append(Pair(() if i is None else (i,), () if j is None else (j,)))
    return pairs


def _intervals(old: Sequence[Placed], new: Sequence[Placed], eye: Eye) -> list[int]:
    """Intervals in cents by which to look for the same notes, the likeliest first."""
    before = [item.head._replace(at=item.at) for item in old]
    after = [item.head._replace(at=item.at) for item in new]
    interval, moved = best_interval(before, after, eye.lexicon, eye.basis)
    if not interval:
        return [0]
    still = sum((_places(old, eye) & _places(new, eye)).values())
    return [interval, 0] if moved > still and moved > 1 else [0, interval]


def _places(items: Iterable[Placed], eye: Eye) -> Counter[tuple[int, ...]]:
    return Counter((item.at, item.head.length, eye.cents(item), item.head.staff, item.head.order) for item in items)


Key = Callable[[Placed], object]


def _keys(interval: int, eye: Eye) -> list[tuple[Key, Key]]:
    """Keys of the old and the new side under which two heads are one, from all that they hold to the note alone."""

    def note(item: Placed, moved: int) -> object:
        head = item.head
        return item.at, head.length, eye.cents(item) + moved, head.staff, head.order, head.kind & CUE_OR_GRACE

    def whole(item: Placed, moved: int) -> object:
        head = item.head
        return note(item, moved), head.tie, head.marks, head.sung, head.look, head.player, head.kind

    if not interval:
        return [
            (lambda item: (item.at, item.code), lambda item: (item.at, item.code)),
            (lambda item: note(item, 0), lambda item: note(item, 0)),
        ]
    return [
        (lambda item: whole(item, interval), lambda item: whole(item, 0)),
        (lambda item: note(item, interval), lambda item: note(item, 0)),
    ]


def _take(
    old: list[Placed], new: list[Placed], key_old: Key, key_new: Key, pairs: list[Pair]
) -> tuple[list[Placed], list[Placed]]:
    waiting: dict[object, list[Placed]] = {}
    for item in reversed(new):
        waiting.setdefault(key_new(item), []).append(item)
    left = []
    for item in old:
        same = waiting.get(key_old(item))
        if same:
            pairs.append(Pair((item,), (same.pop(),)))
        else:
            left.append(item)
    return left, [item for items in waiting.values() for item in items]


def _pieces(single: list[Placed], several: list[Placed], eye: Eye, pairs: list[Pair]) -> tuple[list[Placed], list[Placed]]:
    """Finds notes that became two to eight notes of their pitch which fill the same time."""
    used: set[int] = set()
    left = []
    for item in single:
        chain: list[Placed] = []
        end, goal = item.at, item.at + item.head.length
        while end < goal and len(chain) < 8:
            follower = next(
                (
                    other for other in several
                    if id(other) not in used and other not in chain and abs(other.at - end) <= eye.slack
                    and eye.cents(other) == eye.cents(item) and other.head.staff == item.head.staff
                    and 0 < other.head.length < item.head.length
                ),
                None,
            )  # fmt: skip
            if follower is None:
                break
            chain.append(follower)
            end = follower.at + follower.head.length
        if len(chain) > 1 and abs(end - goal) <= eye.slack:
            used.update(map(id, chain))
            pairs.append(Pair((item,), tuple(chain)))
        else:
            left.append(item)
    return left, [item for item in several if id(item) not in used]


def _retied(old: list[Placed], new: list[Placed], eye: Eye, pairs: list[Pair]) -> tuple[list[Placed], list[Placed]]:
    """Finds tones that are written with other tied notes: a crotchet tied to a minim, now a minim tied to a crotchet."""
    chains_old, chains_new = _chains(old, eye), _chains(new, eye)
    waiting: dict[object, list[tuple[Placed, ...]]] = {}
    for chain in chains_new:
        waiting.setdefault(_span(chain, eye), []).append(chain)
    left: list[Placed] = []
    for chain in chains_old:
        same = waiting.get(_span(chain, eye))
        if same and len(chain) + len(same[-1]) > 2:
            pairs.append(Pair(chain, same.pop()))
        else:
            left += chain
    return left, [item for found in waiting.values() for chain in found for item in chain]


def _chains(items: Iterable[Placed], eye: Eye) -> list[tuple[Placed, ...]]:
    found: list[list[Placed]] = []
    waiting: dict[tuple[int, int], list[Placed]] = {}
    for item in sorted(items, key=lambda one: one.at):
        chain = waiting.pop((eye.cents(item), item.at), None)
        if chain is None:
            chain = []
            found.append(chain)
        chain.append(item)
        if item.head.tie:
            waiting[eye.cents(item), item.at + item.head.length] = chain
    return [tuple(chain) for chain in found]


def _span(chain: Sequence[Placed], eye: Eye) -> object:
    first, last = chain[0], chain[-1]
    return first.at, last.at + last.head.length, eye.cents(first), first.head.staff, first.head.order


def _rest(old: list[Placed], new: list[Placed], eye: Eye) -> list[tuple[Placed | None, Placed | None]]:
    before = sorted(old, key=lambda item: (item.at, item.head.order, item.head.staff, eye.cents(item)))
    after = sorted(new, key=lambda item: (item.at, item.head.order, item.head.staff, eye.cents(item)))
    steps = path(
        len(before),
        len(after),
        lambda i, j: difference(before[i], after[j], eye),
        lambda i: costs.NOTE,
        lambda j: costs.NOTE,
        cheapest=costs.NOTE,
        most=100_000,
    )
    found: list[tuple[Placed | None, Placed | None]] = []
    for i, j in steps:
        one, other = None if i is None else before[i], None if j is None else after[j]
        if one is not None and other is not None and difference(one, other, eye) >= 2 * costs.NOTE:
            found += [(one, None), (None, other)]
        else:
            found.append((one, other))
    return found


def difference(old: Placed, new: Placed, eye: Eye) -> float:
    """The cost of turning one head into another; never more than taking it out and putting the other in."""
    one, other = old.head, new.head
    moved = abs(old.at - new.at) > eye.slack
    apart = abs(eye.cents(old) - eye.cents(new))
    if (moved and apart) or bool(one.order) != bool(other.order):
        return 2 * costs.NOTE
    cost = costs.ONSET if moved else 0.0
    cost += costs.LENGTH if abs(one.length - other.length) > eye.slack else 0.0
    if apart:
        cost += costs.PITCH + min(apart, 100_000) / 1e7  # of two equal accounts, the nearer pitch
    elif one.pitch(eye.basis) != other.pitch(eye.basis):
        cost += costs.SPELLING
    cost += costs.STAFF if one.staff != other.staff else 0.0
    if one.kind != other.kind:
        cost += costs.KIND if (one.kind ^ other.kind) & CUE_OR_GRACE else costs.FLAG
    return min(cost, 2 * costs.NOTE)
