"""From differences to changes: places, words and items of one part."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from xmlcheck.comparing import telling
from xmlcheck.comparing.change import IDENTITY, NOTATION, SOUND, Change, Item, Spot, Stretch
from xmlcheck.comparing.matching import Placed
from xmlcheck.comparing.raw import Point, Raw, RawItem
from xmlcheck.comparing.runs import Passage
from xmlcheck.comparing.spots import Spots

LAYERS = {
    "respelled": NOTATION, "staff": NOTATION, "size": NOTATION, "tied-otherwise": NOTATION, "printed-value": NOTATION,
    "printed-sign": NOTATION, "notehead": NOTATION, "tuplet": NOTATION, "ottava": NOTATION, "clef": NOTATION, "barline": NOTATION,
    "rehearsal mark": NOTATION, "bars-split": NOTATION, "bars-joined": NOTATION, "rebarred": NOTATION, "chord symbol": NOTATION,
    "values-rewritten": NOTATION, "part name": IDENTITY, "part-renamed": IDENTITY, "part-moved": IDENTITY, "instrument": IDENTITY,
    "player": IDENTITY, "part-added": IDENTITY, "part-removed": IDENTITY, "title": IDENTITY, "concert": NOTATION,
}  # fmt: skip
"""Layer of each kind; those not named are of the sound."""


def layer(kind: str) -> str:
    return LAYERS.get(kind, SOUND)


class Teller:
    """Tells the changes of one part, or of the whole score (part and parts then say so)."""

    def __init__(self, part: str | None, old: Spots, new: Spots) -> None:
        self._part, self._old, self._new = part, old, new

    def change(self, raw: Raw, old_bar: int, new_bar: int) -> Change:
        """One difference. old_bar, new_bar: first bars of its block, for the side that has no point of its own."""
        items = tuple(
            Item(self._spot(one.old, self._old), self._spot(one.new, self._new), one.was, one.now) for one in raw.items
        )
        text, label = _words(raw, items)
        return Change(
            0,
            raw.kind,
            layer(raw.kind),
            self._part,
            self._stretch([one.old for one in raw.items], items, old_bar, self._old, False),
            self._stretch([one.new for one in raw.items], items, new_bar, self._new, True),
            text,
            label,
            was=raw.was,
            now=raw.now,
            items=items,
            values=dict(raw.values),
            cost=round(raw.cost, 3),
        )

    def passage(self, passage: Passage, first: Raw, last: Raw) -> Change:
        """A passage that moved by one interval."""
        moved = telling.interval(passage.interval)
        octave = passage.interval % 1200 == 0
        stayed = len(passage.stayed)
        begin, end = self._item(first.items[0]), self._item(last.items[0])
        exceptions = f"; {telling.counted(stayed, 'note')} in it stayed" if stayed else ""
        notes = telling.counted(len(passage.moved), "note")
        return Change(
            0,
            "octave" if octave else "transposed",
            SOUND,
            self._part,
            self._between(begin.old, end.old, self._old),
            self._between(begin.new, end.new, self._new),
            f"{moved} ({notes}){exceptions}",
            moved if len(moved.split()) < 6 else f"transposed {abs(passage.interval) // 100} semitones",
            items=tuple(self._item(raw.items[0]) for raw in passage.moved),
            values={"cents": passage.interval, "steps": passage.steps, "notes": len(passage.moved), "stayed": stayed},
        )

    def _item(self, one: RawItem) -> Item:
        return Item(self._spot(one.old, self._old), self._spot(one.new, self._new), one.was, one.now)

    def _between(self, first: Spot | None, last: Spot | None, spots: Spots) -> Stretch | None:
        if first is None or last is None:
            return None
        return spots.stretch(first.bar_index, last.bar_index, first.beat if first.bar_index == last.bar_index else None)

    def _spot(self, point: Point | None, spots: Spots) -> Spot | None:
        if point is None:
            return None
        return spots.note(point) if isinstance(point, Placed) else spots.sign(point)

    def _stretch(
        self, points: Sequence[Point | None], items: Sequence[Item], bar: int, spots: Spots, new: bool
    ) -> Stretch | None:
        found = [spot for item in items if (spot := item.new if new else item.old) is not None]
        if not found:
            other = next((item.old if new else item.new for item in items), None)
            return spots.stretch(bar, bar, other.beat if other is not None else None)
        first, last = min(found, key=_bar), max(found, key=_bar)
        return spots.stretch(first.bar_index, last.bar_index, first.beat if first.bar_index == last.bar_index else None)


def _bar(spot: Spot) -> int:
    return spot.bar_index


def _words(raw: Raw, items: Sequence[Item]) -> tuple[str, str]:
    """The sentence and the label."""
    first = items[0]
    kind = raw.kind
    if kind == "note-added":
        return f"{telling.note(first.new)} is new", "new note"
    if kind == "note-removed":
        return f"{telling.note(first.old)} is gone", f"{_short(first.old)} gone"
    if kind == "pitch":
        more = f"; {telling.rhythm(first)}" if "rhythm" in raw.values.get("aspects", ()) else ""
        return f"{telling.pitch(first.old)} is now {telling.pitch(first.new)}{more}", f"was {_short(first.old)}"
    if kind == "rhythm":
        return f"{telling.pitch(first.new)}: {telling.rhythm(first)}", "rhythm changed"
    if kind == "respelled":
        if len(items) > 1:
            return f"{len(items)} notes spelled otherwise, the same sound", "respelled"
        return f"{_short(first.old)} is now spelled {_short(first.new)}, the same sound", f"was {_short(first.old)}"
    if kind == "divided":
        return _divided(raw, items)
    if kind == "tied-otherwise":
        return f"{_short(first.new or first.old)}: the same sound, written with other tied notes", "tied otherwise"
    return _sign_words(raw, items)


def _divided(raw: Raw, items: Sequence[Item]) -> tuple[str, str]:
    old, new = raw.values["old_notes"], raw.values["new_notes"]
    spot = items[0].new or items[0].old
    if old == 1:
        return (
            f"{_short(spot)}, {telling.value(items[0].old.quarters if items[0].old else None)}: now {new} notes",
            "now several notes",
        )
    return f"{old} notes on {_short(spot)} are now {telling.counted(new, 'note')}", "notes joined"


def _short(spot: Spot | None) -> str:
    return (spot.written or "the note") if spot is not None else "the note"


_FLAGS = {
    "cue": "a cue note", "grace": "a grace note", "hidden": "hidden from the player", "silent": "silent", "small": "small",
    "optional": "optional", "shaped head": "without exact pitch",
}  # fmt: skip


def _sign_words(raw: Raw, items: Sequence[Item]) -> tuple[str, str]:
    """Signs, flags, words: what came, what went, what became what, and at how many places."""
    kind, was, now = raw.kind, telling.said(raw.was), telling.said(raw.now)
    places = f" at {len(items)} notes" if len(items) > 1 and raw.values.get("several") else ""
    if kind == "lyrics":
        if len(items) > 1:
            return f"other words to sing at {len(items)} notes", "words changed"
        return _became("syllable", f'"{raw.was}"' if raw.was else "", f'"{raw.now}"' if raw.now else ""), "words changed"
    if kind == "tempo":
        return _tempo(raw, was, now)
    if raw.values.get("moved"):
        return f"{_name(now or was)}: its {raw.values['moved']} is now elsewhere", f"{_name(now or was)} moved"
    if kind == "tied":
        told = "tied to the next note" if raw.now else "no longer tied to the next note"
        return (
            f"{len(items)} notes are {told}" if places else f"{_short(items[0].new)} is {told}"
        ), "tied" if raw.now else "no tie"
    if kind in _FLAGS or kind == "size":
        return _flagged(raw, items)
    if kind == "staff":
        old, new = items[0].old, items[0].new
        return f"on staff {new.staff if new else '?'}, was on staff {old.staff if old else '?'}{places}", "other staff"
    if raw.was and raw.was == raw.now and len(items) == 1:
        return f"{was} moved from beat {items[0].old.beat if items[0].old else '?'}", f"{_first(now)} moved"
    if not raw.was and not raw.now and len(items) > 1:
        return f"{kind.replace('-', ' ')}: changed{places}", f"{kind.replace('-', ' ')} changed"
    if len(items) == 2 and not places:  # a start and its stop
        end = items[1].new or items[1].old
        told = f"{_name(now or was)} to bar {end.bar}, beat {end.beat}" if end else _name(now or was)
        return f"{told} is {'new' if raw.now else 'gone'}", f"{_name(now or was)} {'new' if raw.now else 'gone'}"
    return _became(kind.replace("-", " "), was if raw.was else "", now if raw.now else "") + places, _label(was, now, raw)


def _flagged(raw: Raw, items: Sequence[Item]) -> tuple[str, str]:
    came = ", ".join(_FLAGS.get(name, name) for name in raw.now.split(", ") if name)
    went = ", ".join(_FLAGS.get(name, name) for name in raw.was.split(", ") if name)
    who = _short(items[0].new) if len(items) == 1 else f"each of {len(items)} notes"
    told = " and ".join(text for text in (f"now {came}" if came else "", f"no longer {went}" if went else "") if text)
    return f"{who} is {told}", f"{raw.now or raw.was} {'now' if raw.now else 'no more'}"


def _tempo(raw: Raw, was: str, now: str) -> tuple[str, str]:
    if raw.was and raw.now:
        if was == now:
            printed = "printed now" if raw.now.endswith("printed") else "no longer printed"
            return f"tempo {now}: the same, {printed}", f"tempo {printed}"
        return f"tempo {was} is now {now} quarter notes a minute", f"tempo was {was}"
    return (f"tempo {now} is new", f"tempo {now} new") if raw.now else (f"tempo {was} is gone", f"tempo {was} gone")


def _name(text: str) -> str:
    """A sign with two ends by its name: `slur`, `crescendo`."""
    for end in (" start", " stop"):
        text = text.removesuffix(end)
    return text


def _became(kind: str, was: str, now: str) -> str:
    head = "" if kind in ("words", "tied", "lyrics") or kind in was or kind in now else f"{kind}: "
    if was and now:
        return f"{head}{was} is now {now}"
    return f"{head}{now} is new" if now else f"{head}{was} is gone"


def _first(text: str) -> str:
    return " ".join(text.split()[:3])


def _label(was: str, now: str, raw: Raw) -> str:
    if raw.was and raw.now:
        return f"was {_first(was)}"
    return f"{_first(now)} new" if raw.now else f"{_first(was)} gone"


def numbered(changes: Iterable[Change]) -> tuple[Change, ...]:
    """The changes with their numbers, from 1."""
    return tuple(replace(change, number=number) for number, change in enumerate(changes, 1))


def with_cost(change: Change, cost: float, values: dict[str, Any] | None = None) -> Change:
    """The change with its cost, and more values."""
    return replace(change, cost=round(cost, 3), values={**change.values, **(values or {})})
