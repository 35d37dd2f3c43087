"""How long each bar is, so that the parts stay together.

A measure is shared by all parts: that is what lets the same score be written part by part or bar by bar (MusicXML 4.0, elements
score-partwise and score-timewise). Its length is not stored; it follows from what is written, and real files leave gaps and
spill over. Bars shorter than the meter are common (pickups, bars split at a repeat) and are taken as they are.
"""

from __future__ import annotations

from collections.abc import Sequence

from xmlcheck.reader.cursor import Cursor, RawMeasure


def bar_lengths(cursors: Sequence[Cursor]) -> list[list[int]]:
    """Ticks of each bar of each part. Parts that have non-controlling bars do not share barlines and go by themselves."""
    free = [any(bar.non_controlling for bar in cursor.measures) for cursor in cursors]
    together = [cursor.measures for cursor, alone in zip(cursors, free, strict=True) if not alone]
    count = max((len(measures) for measures in together), default=0)
    sliver = cursors[0].grid.resolution // 8 if cursors else 0
    shared = [_length([bars[index] for bars in together if index < len(bars)], sliver) for index in range(count)]
    return [
        [_length([bar], sliver) for bar in cursor.measures] if alone else shared[: len(cursor.measures)]
        for cursor, alone in zip(cursors, free, strict=True)
    ]


def _length(bars: Sequence[RawMeasure], sliver: int) -> int:
    """The length of one bar from what the parts have in it.

    Notes count in full, rests and gaps only as far as the meter goes, and in a bar that says it is incomplete (implicit) not
    at all beside notes. Where one part spills over the meter and another with notes keeps to it, the meter holds; so it does
    where the surplus is a sliver (shorter than a 32nd note, which is rounding).
    """
    nominal = max([bar.nominal for bar in bars])
    if all([bar.filled == nominal and not bar.implicit for bar in bars]):  # the usual case, so first
        return nominal
    if any(bar.implicit and bar.sounded for bar in bars):
        reach = max(bar.sounded for bar in bars)
    else:
        reach = max(max(bar.sounded, min(bar.filled, bar.nominal or bar.filled)) for bar in bars)
    if not nominal or reach <= nominal:
        return reach or nominal
    kept = any(bar.sounded and max(bar.sounded, bar.filled) == nominal for bar in bars)
    return nominal if kept or reach - nominal < sliver else reach
