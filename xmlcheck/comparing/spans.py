"""Signs with a start and a stop are one change, and so is the same change at one note after another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from xmlcheck.comparing.matching import Placed
from xmlcheck.comparing.partners import NONE, Partners
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


Known = tuple[Partners, Partners]
"""Starts with their stops in the old and in the new file."""


def joined(raws: Iterable[Raw], notes: Known = (NONE, NONE), signs: Known = (NONE, NONE)) -> list[Raw]:
    """Starts with their stops: a slur that came is one change, and so is one that now ends elsewhere.

    notes, signs: which stop belongs to which start; without it the next stop does.
    """
    plain: list[Raw] = []
    spans: dict[tuple[str, bool], list[Raw]] = {}
    for raw in sorted(raws, key=lambda one: one.place):
        if raw.span[0]:
            spans.setdefault((raw.span[0], isinstance(raw.first, Placed)), []).append(raw)
        else:
            plain.append(raw)
    for (_, on_notes), found in spans.items():
        plain += _ends(found, notes if on_notes else signs)
    plain.sort(key=lambda one: one.place)
    return plain


def _ends(raws: Sequence[Raw], known: Known) -> list[Raw]:
    left = list(raws)
    result: list[Raw] = []
    for came in (True, False):  # what is new on its own, then what is gone
        partners = known[1] if came else known[0]
        opened: list[Raw] = []
        for raw in [one for one in left if bool(one.now) == came]:
            if raw.span[1] in STARTS:
                opened.append(raw)
                continue
            start = next((one for one in opened if not partners or (raw.span[0], _index(one), _index(raw)) in partners), None)
            if start is not None:
                for one, group in ((start, opened), (start, left), (raw, left)):
                    group.remove(one)
                result.append(replace(start, items=(*start.items, *raw.items), span=("", "")))
    for begins in (True, False):  # one end alone: it moved
        gone = [one for one in left if not one.now and (one.span[1] in STARTS) == begins]
        arrived = [one for one in left if one.now and (one.span[1] in STARTS) == begins]
        for was in gone:
            at = _bar(was.items[0])
            now = min(arrived, key=lambda one: abs(_bar(one.items[0]) - at), default=None)
            if now is None or abs(_bar(now.items[0]) - at) > FAR:
                continue
            for one, group in ((was, left), (now, left), (now, arrived)):
                group.remove(one)
            items = (*now.items, *was.items)
            moved = replace(now, items=items, was=was.was, span=("", ""), values={"moved": "start" if begins else "end"})
            result.append(moved)
    return result + [replace(one, span=("", "")) for one in left]


def _index(raw: Raw) -> int:
    point = raw.first
    if point is None:
        return -1
    return point.note if isinstance(point, Placed) else point.source


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
