"""Signs with a start and a stop are one change, and so is the same change at one note after another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from xmlcheck.comparing.raw import Raw, RawItem
from xmlcheck.comparing.tokens import STARTS

GROUPED = frozenset((
    "articulation", "technique", "ornament", "fermata", "arpeggio", "tied", "lyrics", "cue", "grace", "hidden", "silent", "size",
    "staff", "player", "printed-value", "printed-sign", "notehead", "dynamic", "chord symbol", "tuplet", "sign", "respelled",
))  # fmt: skip
"""Kinds of which several in a row are told together where they say the same."""
_ALIKE = frozenset(("lyrics", "printed-value", "printed-sign", "respelled", "chord symbol"))
"""Kinds that are told together whatever they say."""
FAR = 1
"""Bars without such a change after which a new one begins."""


def joined(raws: Iterable[Raw]) -> list[Raw]:
    """Starts with their stops: a slur that came is one change, and so is one that now ends elsewhere."""
    plain: list[Raw] = []
    spans: dict[str, list[Raw]] = {}
    for raw in sorted(raws, key=lambda one: one.place):
        if raw.span[0]:
            spans.setdefault(raw.span[0], []).append(raw)
        else:
            plain.append(raw)
    for found in spans.values():
        plain += _ends(found)
    plain.sort(key=lambda one: one.place)
    return plain


def _ends(raws: Sequence[Raw]) -> list[Raw]:
    left = list(raws)
    result: list[Raw] = []
    for came in (True, False):  # what is new on its own, then what is gone
        opened: list[Raw] = []
        for raw in [one for one in left if bool(one.now) == came]:
            if raw.span[1] in STARTS:
                opened.append(raw)
            elif opened:
                start = opened.pop(0)
                left.remove(start)
                left.remove(raw)
                result.append(replace(start, items=(*start.items, *raw.items), span=("", "")))
    for start in (True, False):  # one end alone: it moved
        gone = [one for one in left if not one.now and (one.span[1] in STARTS) == start]
        came_ = [one for one in left if one.now and (one.span[1] in STARTS) == start]
        for was, now in zip(gone, came_, strict=False):
            left.remove(was)
            left.remove(now)
            items = (*was.items, *now.items)
            moved = replace(now, items=items, was=was.was, span=("", ""), values={"moved": "start" if start else "end"})
            result.append(moved)
    return result + [replace(one, span=("", "")) for one in left]


def grouped(raws: Iterable[Raw]) -> list[Raw]:
    """Equal changes at one note after another as one. Of different words at several notes: one change of the words."""
    result: list[Raw] = []
    last: dict[object, int] = {}
    for raw in raws:
        if raw.kind not in GROUPED or len(raw.items) > 1:
            result.append(raw)
            continue
        key = (raw.kind,) if raw.kind in _ALIKE else (raw.kind, raw.was, raw.now)
        at = last.get(key)
        if at is not None and _bar(raw.items[0]) - _bar(result[at].items[-1]) <= FAR:
            before = result[at]
            same = (before.was, before.now) == (raw.was, raw.now)
            result[at] = replace(
                before,
                items=(*before.items, *raw.items),
                cost=before.cost + raw.cost,
                was=before.was if same else "",
                now=before.now if same else "",
                values={**before.values, "several": True},
            )
        else:
            last[key] = len(result)
            result.append(raw)
    return result


def _bar(item: RawItem) -> int:
    point = item.new or item.old
    return point.bar if point is not None else 0

