"""What it costs to turn one bar into another, as it will be told: the measure by which accounts are chosen."""

from __future__ import annotations

from collections.abc import Sequence

from xmlcheck.comparing import costs, notes, signs
from xmlcheck.comparing.columns import Column, Distance, content, weight
from xmlcheck.comparing.matching import Eye, placed
from xmlcheck.comparing.runs import Event, passages
from xmlcheck.comparing.spans import joined
from xmlcheck.comparing.view import BarView

NEAR = 0.35
"""A bar here and a bar there are one bar, if the difference costs at most this share of the bar (ours)."""


class Exact:
    """Costs of pairs of bars, each found once. eyes: how each part of a column is looked at."""

    def __init__(self, eyes: Sequence[Eye]) -> None:
        self._eyes = eyes
        self.estimate = Distance(eyes[0].lexicon, [eye.basis for eye in eyes])
        self._known: dict[tuple[int, object, object], float] = {}

    def of(self, old: Column, new: Column) -> float:
        """The cost over all parts; nothing for equal bars."""
        if content(old) == content(new):
            return 0.0
        return sum(
            self._bar(place, one or BarView(), other or BarView())
            for place, (one, other) in enumerate(zip(old, new, strict=True))
            if one is not other and (one is None or other is None or one.key != other.key)
        )

    def near(self, old: Column, new: Column) -> float | None:
        """The cost, where the two are one bar, perhaps changed a little; else None."""
        if content(old) == content(new):
            return 0.0
        most = NEAR * (weight(old) - costs.BAR)
        if self.estimate.columns(old, new) > 2 * most:
            return None
        cost = self.of(old, new)
        return cost if cost <= most else None

    def _bar(self, place: int, old: BarView, new: BarView) -> float:
        key = (place, old.key, new.key)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._found(old, new, self._eyes[place])
        return known

    def _found(self, old: BarView, new: BarView, eye: Eye) -> float:
        raws, moved = notes.changes(placed([old], 0, eye.lexicon), placed([new], 0, eye.lexicon), eye, 0)
        beside = signs.changes(
            signs.placed_signs([old], 0, eye.lexicon), signs.placed_signs([new], 0, eye.lexicon), eye.slack, 0
        )
        events = [Event((0, at), interval, raw) for at, interval, raw in sorted(moved, key=lambda item: item[0])]
        together = [raw for passage in passages(events) for raw in passage.moved]
        inside = {id(raw) for raw in together}
        cost = sum(raw.cost for raw in joined([raw for raw in (*raws, *beside) if id(raw) not in inside]))
        return cost + costs.PASSAGE * len(passages(events))
