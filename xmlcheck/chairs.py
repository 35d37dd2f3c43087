"""From parts to seats: one player or one section, one instrument, one span of one part.

Knows no instrument: whether a text such as the one after "muta in" names one is asked of `knows`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from xmlcheck.model import Direction, Note, Part, Rest, ScoreInstrument

_TO = re.compile(
    r"(?:^|[\s(,;])(?:change to|switch to|take|to|muta in|mutano in|muta|nehmen|nimmt|wechselt zu|prend|prendre|changez en|pasa a)\s+"
    r"(?P<name>[^\d\W][^,;.()\[\]]*\.?)",
    re.IGNORECASE,
)
_MANY = re.compile(r"(?:^|[^\w.])(?:a\s?([2-9])|à\s?([2-9])|zu\s?([2-9])|div\.?|divisi|div\. a \d|geteilt|divisés|gli altri|tutti|gemeinsam)(?:$|[^\w])", re.I)
_ONE = re.compile(r"(?:^|[^\w.])(?:solo|unis\.?|unisono|non div\.?|uno|1\.|I\.|one player|allein)(?:$|[^\w])", re.I)


@dataclass(frozen=True, slots=True)
class Seat:
    """The raw chair: the events of one instrument in one span of one part.

    ordinal: 0 for the first seat of the part. start, end: ticks; the last seat is open-ended. instrument: the
    score-instrument played, where the file says. announced: the text of the words that changed the instrument.
    divided: spans (start, end) in which words say that several players share the line; solo spans are not among them.
    """

    part: Part
    ordinal: int
    start: int
    end: int
    notes: tuple[Note, ...]
    rests: tuple[Rest, ...]
    directions: tuple[Direction, ...]
    instrument: ScoreInstrument | None = None
    announced: str = ""
    divided: tuple[tuple[int, int], ...] = ()
    solo: tuple[tuple[int, int], ...] = ()

    @property
    def name(self) -> str:
        """How the seat is called in the findings: the part id, with the ordinal where the part has several."""
        return self.part.id if not self.ordinal else f"{self.part.id}/{self.ordinal + 1}"


_END = 1 << 62


def seats(part: Part, knows: Callable[[str], bool]) -> tuple[Seat, ...]:
    """The seats of a part, in order of their start. A part without notes has one seat."""
    by_id = {instrument.id: instrument for instrument in part.instruments}
    used = {name for note in part.notes for name in note.instruments if name in by_id}
    divided, solo = _player_spans(part)
    if len(used) > 1 and not _one_kit(part, used):
        return _by_instrument(part, by_id, divided, solo)
    only = by_id.get(next(iter(used))) if len(used) == 1 else (part.instruments[0] if len(part.instruments) == 1 else None)
    first = only or (part.instruments[0] if part.instruments else None)
    changes = _changes(part, by_id, knows)
    if not changes:
        return (Seat(part, 0, 0, _END, part.notes, part.rests, part.directions, first, "", divided, solo),)
    return _by_span(part, first, changes, divided, solo)


def _one_kit(part: Part, used: set[str]) -> bool:
    """Many instruments that are all unpitched are one player's kit."""
    return all(note.unpitched for note in part.notes if note.instruments)


def _by_instrument(part: Part, by_id: dict[str, ScoreInstrument], divided: tuple, solo: tuple) -> tuple[Seat, ...]:  # type: ignore[type-arg]
    order: dict[str, list[Note]] = {}
    for note in part.notes:
        for name in note.instruments or ("",):
            order.setdefault(name if name in by_id else "", []).append(note)
    result = []
    for ordinal, (name, notes) in enumerate(sorted(order.items(), key=lambda item: item[1][0].onset)):
        seat = Seat(part, ordinal, 0, _END, tuple(notes), part.rests, part.directions, by_id.get(name), "", divided, solo)
        result.append(seat)
    return tuple(result)


def _changes(part: Part, by_id: dict[str, ScoreInstrument], knows: Callable[[str], bool]) -> list[tuple[int, str, str]]:
    """(tick, score-instrument id or "", announced text) of each change of instrument inside the part."""
    found: list[tuple[int, str, str]] = []
    for direction in part.directions:
        for change in direction.sound.changes if direction.sound else ():
            if change.id in by_id:
                found.append((direction.onset, change.id, direction.words))
        words = direction.words
        if not words or len(words) > 80:
            continue
        match = _TO.search(words)
        if match and knows(match["name"].strip()):
            found.append((direction.onset, "", match["name"].strip()))
    return sorted(set(found), key=lambda item: item[0])


def _by_span(part, first, changes, divided, solo):  # type: ignore[no-untyped-def]
    """One seat a span. A change that words announce and playback data repeats at the next note is one change."""
    spans: list[tuple[int, str, str]] = [(0, first.id if first else "", "")]
    for tick, name, text in changes:
        last = spans[-1]
        between = any(last[0] <= note.onset < tick for note in part.notes)
        if not between and len(spans) > 1:
            spans[-1] = (last[0], name or last[1], text or last[2])
        elif not between:
            spans[-1] = (0, name or last[1], text)
        else:
            spans.append((tick, name, text))
    ids = {instrument.id: instrument for instrument in part.instruments}
    result = []
    for ordinal, (start, name, text) in enumerate(spans):
        end = spans[ordinal + 1][0] if ordinal + 1 < len(spans) else _END
        inside = [tuple(e for e in events if start <= e.onset < end) for events in (part.notes, part.rests, part.directions)]
        result.append(Seat(part, ordinal, start, end, *inside, ids.get(name), text, divided, solo))
    return tuple(result)


def _player_spans(part: Part) -> tuple[tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]:
    """Spans that words give to several players, and spans that they give to one."""
    many: list[list[int]] = []
    one: list[list[int]] = []
    for direction in part.directions:
        words = direction.words
        if not words or len(words) > 60:
            continue
        opens = many if _MANY.search(words) and not re.search(r"non\s+div", words, re.I) else one if _ONE.search(words) else None
        if opens is None:
            continue
        for spans in (many, one):
            if spans and spans[-1][1] == _END:
                spans[-1][1] = direction.onset
        opens.append([direction.onset, _END])
    return tuple((a, b) for a, b in many), tuple((a, b) for a, b in one)


def without(seat: Seat, claimed: frozenset[int]) -> Seat:
    """The seat without the events whose anchors a claim rule took."""
    if not claimed:
        return seat
    return replace(seat, notes=tuple(note for note in seat.notes if note.anchor not in claimed))
