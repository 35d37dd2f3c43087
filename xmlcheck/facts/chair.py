"""The views that rules ask for: one chair, and the score as a whole. Every view is computed once, when first asked for."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from xmlcheck.chairs import Seat, without
from xmlcheck.facts.order import played_order
from xmlcheck.facts.places import Places
from xmlcheck.facts.sonorities import Sonority, sonorities
from xmlcheck.facts.time import FirstPass, TempoMap, first_pass, tempo_map
from xmlcheck.facts.tones import Tone, tones
from xmlcheck.model import Direction, Key, Note, Part, Rest, Score, Transpose


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
    def order(self) -> tuple[int, ...]:
        """Bars as played, from the part with the most repeat signs (files often carry them in one part only)."""
        parts = self.score.parts
        if not parts:
            return ()
        return played_order(max(parts, key=lambda part: sum(bool(line.repeat or line.ending[1]) for line in part.barlines)))

    def clock(self, part: Part) -> FirstPass:
        """The first-pass timeline of a part."""
        order = [index for index in self.order if index < len(part.measures)]
        return first_pass(part, self.tempo, order)

    def places(self, part: Part) -> Places:
        """Bars, beats and seconds of a part in a reader's words."""
        if part.id not in self._places:
            self._places[part.id] = Places(part, self.score.resolution, self.clock(part))
        return self._places[part.id]


class Chair:
    """One player or one section: one instrument, one span of one part, without the events that claim rules took.

    notes: all heads. tones: what is really played. many: whether the heading says that several players read the part.
    """

    def __init__(self, seat: Seat, facts: ScoreFacts, claimed: frozenset[int] = frozenset(), many: bool = False) -> None:
        self.seat = without(seat, claimed)
        self.facts = facts
        self.many = many

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
    def index_of(self) -> dict[int, int]:
        """The position of each head in `notes`, by its anchor."""
        return {note.anchor: index for index, note in enumerate(self.notes)}

    @cached_property
    def sonorities(self) -> tuple[Sonority, ...]:
        return sonorities(self.tones)

    @cached_property
    def lines(self) -> tuple[tuple[Tone, ...], ...]:
        """The tones voice by voice, each in order of onset."""
        voices: dict[str, list[Tone]] = {}
        for tone in self.tones:
            voices.setdefault(tone.voice, []).append(tone)
        return tuple(tuple(voice) for voice in voices.values())

    @cached_property
    def silences(self) -> tuple[tuple[int, int], ...]:
        """Stretches (start, end) in ticks in which the chair sounds nothing."""
        result, reached = [], 0
        for tone in self.tones:
            if tone.onset > reached:
                result.append((reached, tone.onset))
            reached = max(reached, tone.end)
        return tuple(result)

    def seconds(self, start: int, end: int) -> float:
        """Seconds between two ticks at the written tempo."""
        return self.tempo.between(start, end)

    def for_one_player(self, tick: int) -> bool:
        """Whether what stands here is surely read by a single player."""
        if any(start <= tick < end for start, end in self.seat.solo):
            return True
        return not self.many and not any(start <= tick < end for start, end in self.seat.divided)

    def key_at(self, tick: int, staff: int = 1) -> Key | None:
        """The key signature in force."""
        return _in_force(self.part.keys, tick, staff)

    def transpose_at(self, tick: int, staff: int = 1) -> Transpose | None:
        """The <transpose> in force (not <for-part>)."""
        return _in_force([item for item in self.part.transposes if not item.for_part], tick, staff)


def _in_force(items: Sequence[Key] | Sequence[Transpose], tick: int, staff: int):  # type: ignore[no-untyped-def]
    """The last item at or before a tick that holds for this staff."""
    return next((item for item in reversed(items) if item.onset <= tick and item.staff in (0, staff)), None)
