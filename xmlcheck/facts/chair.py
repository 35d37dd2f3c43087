"""The views that rules ask for: one chair, and the score as a whole. Every view is computed once, when first asked for."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from itertools import accumulate
from operator import attrgetter
from types import MappingProxyType
from typing import Any, TypeVar

from xmlcheck.chairs import Seat, without
from xmlcheck.facets import Session
from xmlcheck.facts.in_force import PartSigns, inside
from xmlcheck.facts.lines import lines, silences
from xmlcheck.facts.order import played_order
from xmlcheck.facts.places import Marks, Places, rehearsals
from xmlcheck.facts.sonorities import Sonority, sonorities
from xmlcheck.facts.time import FirstPass, TempoMap, first_pass, tempo_map
from xmlcheck.facts.tones import Tone, tones
from xmlcheck.model import Direction, Key, Note, Part, Rest, Score, Transpose

Answer = TypeVar("Answer")
TOGETHER = Session()
_onset = attrgetter("onset")


class ScoreFacts:
    """The whole file: its score, tempo map, played order and the chairs of all parts."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self._chairs: tuple[Chair, ...] = ()
        self._places: dict[str, Places] = {}
        self._answers: dict[tuple[Any, ...], Any] = {}

    @property
    def chairs(self) -> tuple[Chair, ...]:
        """All chairs, part by part. Filled in by the check before any rule runs, and again when claim rules have taken notes."""
        return self._chairs

    @chairs.setter
    def chairs(self, chairs: tuple[Chair, ...]) -> None:
        self._chairs = chairs
        self._answers.clear()

    def once(self, question: Callable[..., Answer], *about: Part | str) -> Answer:
        """The answer of `question(facts, *about)`, worked out once a score: for what rules ask anew for each chair."""
        key = (question, *(id(item) if isinstance(item, Part) else item for item in about))
        if key not in self._answers:
            self._answers[key] = question(self, *about)
        return self._answers[key]  # type: ignore[no-any-return]

    def chairs_of(self, part: Part) -> Sequence[Chair]:
        """The chairs of a part, in order of their start."""
        return self.once(_by_part).get(id(part), ())

    def signs(self, part: Part) -> PartSigns:
        """Key signatures and transpositions of a part."""
        return self.once(_signs, part)

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

    @cached_property
    def _reached(self) -> list[int]:
        """For each of the tones, the furthest end of all tones up to it."""
        return list(accumulate((tone.end for tone in self.tones), max))

    def before(self, tick: int) -> Tone | None:
        """The last tone that begins before a tick."""
        index = bisect_left(self.tones, tick, key=_onset)
        return self.tones[index - 1] if index else None

    def following(self, tick: int) -> Tone | None:
        """The first tone that begins at a tick or after it."""
        index = bisect_left(self.tones, tick, key=_onset)
        return self.tones[index] if index < len(self.tones) else None

    def gap(self, tick: int) -> tuple[int, int] | None:
        """(start, end) in ticks of the silence at a tick: from where all that began before it has ended, to the next onset; no
        ticks where the sound goes on. None before the first tone and after the last."""
        index = bisect_left(self.tones, tick, key=_onset)
        if not index or index == len(self.tones):
            return None
        end = self.tones[index].onset
        return min(self._reached[index - 1], end), end

    def under(self, start: int, end: int) -> tuple[Tone, ...]:
        """The tones that sound somewhere between two ticks: begun before `end`, ended after `start`."""
        first, last = bisect_right(self._reached, start), bisect_left(self.tones, end, key=_onset)
        return tuple(tone for tone in self.tones[first:last] if tone.end > start)

    def seconds(self, start: int, end: int) -> float:
        """Seconds between two ticks at the written tempo."""
        return self.tempo.between(start, end)

    def for_one_player(self, tick: int) -> bool:
        """Whether what stands here is surely read by a single player, or whole by every player ("non div.").

        False wherever the part is for several and no solo is marked, also after "unis.": a section still divides a chord. A
        single "a 2", "div." or "tutti" in a part shows that it is for several throughout.
        """
        if self.facts.signs(self.part).doubling:
            return False
        if inside(self.seat.solo, tick):
            return True
        return not self.many and not self.seat.divided

    def apart(self, other: Chair) -> bool:
        """Whether the two are recorded in different passes: then one player does not do both at once, or one right after the other."""
        return _apart(self.session, other.session)

    def apart_from(self, part: Part) -> bool:
        """Whether any chair of that part is recorded in another pass than this one."""
        return any(_apart(self.session, other) for other in self.facts.once(_sessions).get(part.id, ()))

    def key_at(self, tick: int, staff: int = 1) -> Key | None:
        """The key signature in force."""
        return self.facts.signs(self.part).keys.at(tick, staff)

    def transpose_at(self, tick: int, staff: int = 1) -> Transpose | None:
        """The <transpose> in force (not <for-part>)."""
        return self.facts.signs(self.part).transposes.at(tick, staff)


def _signs(_: ScoreFacts, part: Part) -> PartSigns:
    return PartSigns(part)


def _by_part(facts: ScoreFacts) -> Mapping[int, Sequence[Chair]]:
    found: dict[int, list[Chair]] = {}
    for chair in facts.chairs:
        found.setdefault(id(chair.part), []).append(chair)
    return found


def _sessions(facts: ScoreFacts) -> Mapping[str, set[Session]]:
    """How the chairs of each part are recorded, by part id."""
    found: dict[str, set[Session]] = {}
    for chair in facts.chairs:
        found.setdefault(chair.part.id, set()).add(chair.session)
    return found


def _apart(one: Session, other: Session) -> bool:
    return one.take != other.take or one.overdub or other.overdub
