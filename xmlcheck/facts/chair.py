"""The views that rules ask for: one chair, and the score as a whole. Every view is computed once, when first asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from types import MappingProxyType
from typing import TypeVar

from xmlcheck.chairs import Seat, without
from xmlcheck.facets import Session
from xmlcheck.facts.lines import lines, silences
from xmlcheck.facts.order import played_order
from xmlcheck.facts.places import Marks, Places, rehearsals
from xmlcheck.facts.sonorities import Sonority, sonorities
from xmlcheck.facts.time import FirstPass, TempoMap, first_pass, tempo_map
from xmlcheck.facts.tones import Tone, tones
from xmlcheck.model import Direction, Key, Note, Part, Rest, Score, Transpose

Kept = TypeVar("Kept", Key, Transpose)
TOGETHER = Session()


class ScoreFacts:
    """The whole file: its score, tempo map, played order and the chairs of all parts."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self.chairs: tuple[Chair, ...] = ()  # filled in by the check, once, before any rule runs
        self._places: dict[str, Places] = {}

    @cached_property
    def tempo(self) -> TempoMap:
        return tempo_map(self.score)

    @cached_property
    def together(self) -> tuple[Part, ...]:
        """The parts whose bars are common to all; those with barlines of their own go by themselves."""
        own = [part for part in self.score.parts if any(bar.non_controlling for bar in part.measures)]
        return tuple(part for part in self.score.parts if not any(part is other for other in own))

    @cached_property
    def order(self) -> tuple[int, ...]:
        """Bars as played, by the signs of all parts that share their bars (files often carry them in one part only)."""
        return played_order(*(self.together or self.score.parts[:1]))

    @cached_property
    def rehearsals(self) -> Marks:
        """The rehearsal marks of the whole score."""
        return rehearsals(self.score.parts)

    def clock(self, part: Part) -> FirstPass:
        """The first-pass timeline of a part."""
        if not any(part is other for other in self.together):
            return first_pass(part, self.tempo)
        return first_pass(part, self.tempo, [index for index in self.order if index < len(part.measures)])

    def places(self, part: Part) -> Places:
        """Bars, beats and seconds of a part in a reader's words."""
        if part.id not in self._places:
            self._places[part.id] = Places(part, self.score.resolution, self.clock(part), self.rehearsals)
        return self._places[part.id]


class Chair:
    """One player or one section: one instrument, one span of one part, without the events that claim rules took.

    notes: all heads. tones: what is really played. many: whether the heading says that several players read the part.
    players: how many, where the heading says. session: how the player is recorded. All rules see the same chair: it does not
    change.
    """

    seat: Seat
    facts: ScoreFacts
    many: bool
    players: int | None
    session: Session

    def __init__(
        self,
        seat: Seat,
        facts: ScoreFacts,
        claimed: frozenset[int] = frozenset(),
        many: bool = False,
        players: int | None = None,
        session: Session = TOGETHER,
    ) -> None:
        self.__dict__.update(seat=without(seat, claimed), facts=facts, many=many, players=players, session=session)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a chair does not change: {name} cannot be set")

    @property
    def part(self) -> Part:
        return self.seat.part

    @property
    def name(self) -> str:
        return self.seat.name

    @property
    def notes(self) -> tuple[Note, ...]:
        return self.seat.notes

    @property
    def rests(self) -> tuple[Rest, ...]:
        return self.seat.rests

    @property
    def directions(self) -> tuple[Direction, ...]:
        return self.seat.directions

    @property
    def tempo(self) -> TempoMap:
        return self.facts.tempo

    @cached_property
    def tones(self) -> tuple[Tone, ...]:
        return tones(self.notes)

    @cached_property
    def index_of(self) -> Mapping[int, int]:
        """The position of each head in `notes`, by its anchor."""
        return MappingProxyType({note.anchor: index for index, note in enumerate(self.notes)})

    @cached_property
    def sonorities(self) -> tuple[Sonority, ...]:
        return sonorities(self.tones)

    @cached_property
    def lines(self) -> tuple[tuple[Tone, ...], ...]:
        """The tones voice by voice, each in order of onset."""
        return lines(self.tones)

    @cached_property
    def silences(self) -> tuple[tuple[int, int], ...]:
        """Stretches (start, end) in ticks, within the chair's span, in which nothing at all is played."""
        last = self.part.measures[-1] if self.part.measures else None
        end = last.onset + last.length if last is not None else 0
        return silences(self.notes, self.seat.start, min(self.seat.end, end))

    def seconds(self, start: int, end: int) -> float:
        """Seconds between two ticks at the written tempo."""
        return self.tempo.between(start, end)

    def for_one_player(self, tick: int) -> bool:
        """Whether what stands here is surely read by a single player, or whole by every player ("non div.").

        False wherever the part is for several and no solo is marked, also after "unis.": a section still divides a chord. A
        single "a 2", "div." or "tutti" in a part shows that it is for several throughout.
        """
        if any(item.doubled and not item.for_part for item in self.part.transposes):
            return False
        if any(start <= tick < end for start, end in self.seat.solo):
            return True
        return not self.many and not self.seat.divided

    def apart(self, other: Chair) -> bool:
        """Whether the two are recorded in different passes: then one player does not do both at once, or one right after the other."""
        return self.session.take != other.session.take or self.session.overdub or other.session.overdub

    def key_at(self, tick: int, staff: int = 1) -> Key | None:
        """The key signature in force."""
        return _in_force(self.part.keys, tick, staff)

    def transpose_at(self, tick: int, staff: int = 1) -> Transpose | None:
        """The <transpose> in force (not <for-part>)."""
        return _in_force([item for item in self.part.transposes if not item.for_part], tick, staff)


def _in_force(items: Iterable[Kept], tick: int, staff: int) -> Kept | None:
    """The last item at or before a tick that holds for this staff."""
    return next((item for item in reversed(tuple(items)) if item.onset <= tick and item.staff in (0, staff)), None)
