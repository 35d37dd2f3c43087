"""From parts to seats: one player or one section, one instrument, one span of one part.

Knows no instrument: whether a text such as the one after "muta in" names one is asked of `knows`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from operator import attrgetter
from typing import TypeVar

from xmlcheck.chairs.changes import Change, changes
from xmlcheck.chairs.instruments import Hands, hands
from xmlcheck.chairs.players import END, player_spans
from xmlcheck.model import Direction, Note, Part, Rest, ScoreInstrument
from xmlcheck.partname import fold

__all__ = ["END", "Seat", "seats", "without"]

Event = TypeVar("Event", Note, Rest, Direction)


@dataclass(frozen=True, slots=True)
class Seat:
    """The raw chair: the events of one instrument in one span of one part.

    ordinal: 0 for the first seat of the part. start, end: ticks; the last seat is open-ended. instrument: the score-instrument
    played, where the file says; one that playback data changed has its new sound and no name. announced: the text of the words
    that changed the instrument. divided: spans (start, end) of the whole part in which words say that several players read it,
    be it divided or in unison; solo: spans in which they say that one does, or each all of it.
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


@dataclass(slots=True)
class _Span:
    """A stretch of one instrument while its end is not known yet."""

    start: int
    instrument: ScoreInstrument | None
    text: str = ""


def seats(part: Part, knows: Callable[[str], bool]) -> tuple[Seat, ...]:
    """The seats of a part, in order of their start. A part without notes has one seat."""
    divided, solo = player_spans(part)
    played = hands(part)
    whole = Seat(part, 0, 0, END, part.notes, part.rests, part.directions, played.first, "", divided, solo)
    if played.beside:
        return tuple(
            replace(whole, ordinal=ordinal, notes=notes, instrument=instrument)
            for ordinal, (instrument, notes) in enumerate(played.beside)
        )
    spans = _spans(part, played, changes(part, played, knows))
    ends = [span.start for span in spans[1:]] + [END]
    return tuple(
        replace(
            whole,
            ordinal=ordinal,
            start=span.start,
            end=end,
            notes=_between(part.notes, span.start, end),
            rests=_between(part.rests, span.start, end),
            directions=_between(part.directions, span.start, end),
            instrument=span.instrument,
            announced=span.text,
        )
        for ordinal, (span, end) in enumerate(zip(spans, ends, strict=True))
    )


def _spans(part: Part, played: Hands, found: Sequence[Change]) -> list[_Span]:
    """One span an instrument. A change that words announce and playback data repeat at the next note is one change, and
    naming what is played already is none."""
    onsets = [note.onset for note in part.notes]
    headings = {fold(text) for text in (part.name, part.display_name) if text}
    spans = [_Span(0, played.first)]
    for change in found:
        last = spans[-1]
        told = {fold(last.text)} if last.text else headings
        if (not change.text or fold(change.text) in told) and change.instrument in (None, last.instrument):
            continue
        if bisect_left(onsets, last.start) < bisect_left(onsets, change.tick):
            back = played.first if fold(change.text) in headings else None
            spans.append(_Span(change.tick, change.instrument or back, change.text))
        else:
            last.instrument, last.text = change.instrument or last.instrument, change.text or last.text
    return spans


def _between(events: tuple[Event, ...], start: int, end: int) -> tuple[Event, ...]:
    onset = attrgetter("onset")
    return events[bisect_left(events, start, key=onset) : bisect_left(events, end, key=onset)]


def without(seat: Seat, claimed: frozenset[int]) -> Seat:
    """The seat without the events whose anchors a claim rule took."""
    if not claimed:
        return seat
    return replace(seat, notes=tuple(note for note in seat.notes if note.anchor not in claimed))
