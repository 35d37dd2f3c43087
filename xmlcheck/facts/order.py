"""The order in which bars are played: repeats, endings and jumps walked through once, with a cap on length.

MusicXML 4.0: element repeat (direction, times, after-jump), element ending (number, type), element sound (dacapo, dalsegno,
tocoda, segno, coda, fine, forward-repeat, time-only). Cost is linear in bars, signs and the bars played.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from xmlcheck.facts.repeats import Repeat, repeats
from xmlcheck.facts.signs import Bar, Sign, read_bars
from xmlcheck.model import Part

LONGEST = 20
"""From this many times the number of bars on nothing is repeated any more; a file that asks for more is faulty."""


def played_order(*parts: Part) -> tuple[int, ...]:
    """Indices of the bars in the order in which they are played. The signs of all these parts count; their bars are common."""
    bars = read_bars(parts) if parts else []
    found = repeats(bars)
    _put_off(bars, found)
    walk = _Walk(bars, found)
    while walk.index < len(bars):
        walk.step()
    return tuple(walk.order)


def _put_off(bars: Sequence[Bar], found: Sequence[Repeat]) -> None:
    """Words such as "D.C." stand where there is room: inside a repeated passage they mean its end (common practice)."""
    lasts = [repeat.last for repeat in found]
    for index, bar in enumerate(bars):
        for name in ("dacapo", "dalsegno"):
            at = bisect_left(lasts, index)
            if name in bar.signs and bar.signs[name].printed and at < len(found) and found[at].start <= index < lasts[at]:
                target = bars[lasts[at]]
                target.signs.setdefault(name, bar.signs.pop(name))
                target.aim = target.aim or bar.aim


class _Walk:
    """One way through the piece, bar by bar. turns: at which time each repeat is, by its last bar."""

    def __init__(self, bars: Sequence[Bar], found: Sequence[Repeat]) -> None:
        self.bars = bars
        self.index, self.order, self.visits = 0, list[int](), [0] * len(bars)
        self.turns: dict[int, int] = {}
        self.done: set[int] = set()  # bars whose jump was made
        self.jumped, self.aim = False, ""
        self.cap = LONGEST * len(bars)
        self.jumps = any("dacapo" in bar.signs or "dalsegno" in bar.signs for bar in bars)
        self.ending_at = {e.first: (repeat, n) for repeat in found for n, e in enumerate(repeat.endings)}
        self.back_at = {e.last: repeat for repeat in found for e in repeat.endings if e.returns}
        self.back_at |= {repeat.last: repeat for repeat in found if not repeat.endings}
        self.leaves = {repeat.last: repeat for repeat in found}
        self.segnos, self.codas = _places(bars, "segno"), _places(bars, "coda")

    def step(self) -> None:
        """Plays the bar, or goes by an ending that is not due, and finds the next one."""
        if self._passes_by():
            return
        here, bar = self.index, self.bars[self.index]
        self.order.append(here)
        self.visits[here] += 1
        coda = self._coda(here, bar.signs.get("tocoda"))
        if coda is not None:
            self.done.add(here)
            self.turns.clear()
            self.index = coda
            return
        repeat = self.back_at.get(here)
        if repeat is not None and self._again(repeat):
            self.turns[repeat.last] = self.turns.get(repeat.last, 1) + 1
            self.index = repeat.start
            return
        if self._ends(bar.signs.get("fine"), here):
            self.index = len(self.bars)
            return
        target = self._back(here, bar)
        if target is not None:
            self.done.add(here)
            self.turns.clear()
            self.jumped, self.aim, self.index = True, bar.aim, target
            return
        if here in self.leaves:
            self.turns.pop(here, None)
        self.index = here + 1

    def _taken(self, repeat: Repeat) -> bool:
        """Whether this repeat is made: after a jump only where the file says so."""
        return not self.jumped or repeat.after_jump

    def _again(self, repeat: Repeat) -> bool:
        return self._taken(repeat) and self.turns.get(repeat.last, 1) < repeat.times and len(self.order) < self.cap

    def _passes_by(self) -> bool:
        """Goes past an ending that is not played this time."""
        found = self.ending_at.get(self.index)
        if found is None:
            return False
        repeat, number = found
        turn = self.turns.get(repeat.last, 1) if self._taken(repeat) else repeat.times
        if repeat.plan[turn - 1] == number:
            return False
        last = repeat.endings[number].last
        if last in self.leaves:
            self.turns.pop(last, None)
        self.index = last + 1
        return True

    def _coda(self, here: int, sign: Sign | None) -> int | None:
        """Where a "to coda" leads: by default the second time through and, in a piece with jumps back, after one."""
        if sign is None or here in self.done or self.aim == "fine":
            return None
        due = self.visits[here] in sign.only if sign.only else self.visits[here] > 1 and (self.jumped or not self.jumps)
        return _found(self.codas, sign.name, range(here + 1, len(self.bars))) if due else None

    def _ends(self, sign: Sign | None, here: int) -> bool:
        if sign is None or self.aim == "coda":
            return False
        return self.visits[here] in sign.only if sign.only else self.jumped

    def _back(self, here: int, bar: Bar) -> int | None:
        """Where a jump back leads. Each is made once; without a place to go to it is not made."""
        sign = bar.signs.get("dalsegno") or bar.signs.get("dacapo")
        if sign is None or here in self.done or len(self.order) >= self.cap:
            return None
        if sign.only and self.visits[here] not in sign.only:
            return None
        if "dalsegno" not in bar.signs:
            return next((n + 1 for n in range(here - 1, -1, -1) if self.bars[n].restarts), 0)
        return _found(self.segnos, sign.name, range(here, -1, -1))


def _places(bars: Sequence[Bar], kind: str) -> dict[str, list[int]]:
    """Bars with a segno or coda, by name; all of them under the empty name."""
    places: dict[str, list[int]] = {"": []}
    for index, bar in enumerate(bars):
        if kind in bar.signs:
            for name in {bar.signs[kind].name, ""}:
                places.setdefault(name, []).append(index)
    return places


def _found(places: dict[str, list[int]], name: str, span: range) -> int | None:
    """The first bar of the span, walked in its direction, that has this name; else the first with any."""
    for wanted in (name, ""):
        indices = places.get(wanted, [])
        at = bisect_left(indices, span.start) if span.step > 0 else bisect_right(indices, span.start) - 1
        if 0 <= at < len(indices) and indices[at] in span:
            return indices[at]
    return None
