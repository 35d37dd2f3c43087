"""The strings of one part through its time: usual tuning, what the file gives, what its words say, and how it is to be read."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from operator import attrgetter

from xmlcheck.plugin import Chair, Direction, Pitch, Placed, Tuning, says
from xmlcheck_strings.board import Board, Grip, Neck
from xmlcheck_strings.facets import Course, Fingerboard, Hand, NamedTuning, Strings
from xmlcheck_strings.tuning_words import Words, read

_onset = attrgetter("onset")
_ASIDE = ("ossia", "cue", "editorial", "alternate")
_FAR = 900
"""Cents from the usual pitch beyond which a given string is taken for one written in another octave (ours)."""


@dataclass(frozen=True, slots=True)
class Event:
    """A place where the tuning changes or is spoken of. at: the direction, or the file's tuning element.

    pitches: the strings from here on, from the bass side. words: what the text says, where it is a text. said: text or "".
    """

    at: Placed
    pitches: tuple[Pitch, ...]
    words: Words | None = None
    said: str = ""

    @property
    def onset(self) -> int:
        return self.at.onset


@dataclass(frozen=True)
class Stringing:
    """The tuning in force, tick by tick. usual: with nothing said. events: in order. fingered: the part is written as the
    fingers fall on the usual strings (scordatura of the older kind), so `board_at` is the usual one throughout.

    failures: onsets of a retuned part that cannot be played, read as sounding and read as fingered.
    named: the tuning in common use that the notes call for without the part naming it, None for the usual one.
    """

    usual: tuple[Pitch, ...]
    board: Board
    events: tuple[Event, ...] = ()
    boards: tuple[Board, ...] = ()
    fingered: bool = False
    named: NamedTuning | None = None
    failures: tuple[int, int] = (0, 0)

    def board_at(self, tick: int) -> Board:
        """The board for the hand at this tick."""
        if not self.boards or self.fingered:
            return self.board
        index = bisect_right(self.events, tick, key=_onset)
        return self.boards[index - 1] if index else self.board

    def pitches_at(self, tick: int) -> tuple[Pitch, ...]:
        """The open strings at this tick, from the bass side."""
        index = bisect_right(self.events, tick, key=_onset)
        return self.events[index - 1].pitches if index else self.usual

    def told_at(self, tick: int) -> str:
        """The open strings at this tick in words: `G3 D4 A4 E5`."""
        return " ".join(pitch.name for pitch in (self.usual if self.fingered else self.pitches_at(tick)))

    @property
    def retuned(self) -> bool:
        """Whether file or words change any string."""
        return any(event.pitches != self.usual for event in self.events)


def neck(strings: Strings, fingerboard: Fingerboard | None, hand: Hand | None, count: int, capo: int = 0) -> Neck:
    """What holds under any tuning, for so many strings; strings beyond the profile's courses lie on the bass side."""
    courses = _aligned(strings.courses, count)
    if fingerboard is None:
        return Neck((0.0,) * count)
    tops = [_top(course, fingerboard) for course in courses]
    frets: tuple[int, ...] | None = None
    if fingerboard.frets.value == "semitones":
        frets = tuple(range(100, int(100 * max(tops, default=0)) + 1, 100))
    elif fingerboard.cents is not None:
        frets = fingerboard.cents.value
    scale = fingerboard.scale_mm.value if fingerboard.scale_mm else None
    return Neck(
        tops=tuple(max(0.0, item - capo) for item in tops),
        scale_mm=scale * 2 ** (-capo / 12) if scale else None,
        frets=frets,
        starts=tuple(course.starts_at if course else 0 for course in courses),
        bend_up=_cents(fingerboard.bend_up.value if fingerboard.bend_up else 0),
        bend_down=_cents(fingerboard.bend_down.value if fingerboard.bend_down else 0),
        grip=grip(hand, scale),
    )


def _top(course: Course | None, fingerboard: Fingerboard) -> float:
    """The highest stop of a course; 0 for one that is only played open."""
    if course is not None and course.role != "melody":
        return 0.0
    return course.highest if course is not None and course.highest is not None else fingerboard.highest.value


def grip(hand: Hand | None, scale_mm: float | None) -> Grip | None:
    """The hand in millimetres; None where the profile does not say enough. Without a stretch, the reach is the stretch."""
    if hand is None:
        return None

    def wide(mm: float | None, semitones: float | None) -> float | None:
        if mm is not None or semitones is None or not scale_mm:
            return mm
        return scale_mm * (2 ** (-1 / 12) - 2 ** (-(1 + semitones) / 12))

    values = [
        item.value if item else None for item in (hand.reach_mm, hand.reach_semitones, hand.stretch_mm, hand.stretch_semitones)
    ]
    reach, stretch = wide(*values[:2]), wide(*values[2:])
    if reach is None:
        return None
    across = bool(hand.barre and hand.barre.value) or bool(hand.frame and hand.frame.value)
    thumb_from = hand.thumb_from.value if hand.thumb_from else None
    return Grip(reach, max(reach, stretch or 0), hand.fingers.value, across, thumb_from)


def board(
    strings: Strings, fingerboard: Fingerboard | None, hand: Hand | None, pitches: Sequence[Pitch], capo: int = 0
) -> Board:
    """The board of this instrument with these open strings."""
    courses = _aligned(strings.courses, len(pitches))
    also = []
    for course, pitch in zip(courses, pitches, strict=True):
        moved = pitch.cents - course.pitch.cents if course else 0
        also.append(tuple(item.cents + moved + 100 * capo for item in course.also) if course else ())
    return Board(neck(strings, fingerboard, hand, len(pitches), capo), [pitch.cents + 100 * capo for pitch in pitches], also)


def _cents(semitones: float) -> int:
    return round(100 * semitones)


def _aligned(courses: Sequence[Course], count: int) -> list[Course | None]:
    """The courses as they lie under so many strings, counted from the treble side."""
    return [*([None] * (count - len(courses))), *courses[max(0, len(courses) - count) :]]


def events(chair: Chair, strings: Strings, usual: tuple[Pitch, ...]) -> tuple[tuple[Event, ...], tuple[int, ...]]:
    """Every change of the tuning in the part, in order, and the capo in force at each."""
    found: list[tuple[int, int, Callable[[tuple[Pitch, ...]], Event | None], int]] = []
    for tuning in chair.part.tunings:
        if (
            tuning.staff_type not in _ASIDE
            and (tuning.strings or tuning.capo)
            and chair.seat.start <= tuning.onset < chair.seat.end
        ):
            found.append((tuning.onset, tuning.anchor, _given(tuning, usual), tuning.capo))
    for direction in chair.directions:
        if direction.words and len(direction.words) < 200:
            found.append((direction.onset, direction.anchor, _told(direction, strings, usual), 0))
    now, result, capos = usual, [], []
    for _, _, change, capo in sorted(found, key=lambda item: item[:2]):
        event = change(now)
        if event is not None:
            result.append(event)
            capos.append(capo)
            now = event.pitches
    return tuple(result), tuple(capos)


def _given(tuning: Tuning, usual: tuple[Pitch, ...]) -> Callable[[tuple[Pitch, ...]], Event]:
    def change(now: tuple[Pitch, ...]) -> Event:
        count = len(tuning.strings)
        if tuning.by_line and count and count != len(now):
            lines = [pitch for _, pitch in sorted(tuning.strings, key=lambda item: item[0])]
            return Event(tuning, tuple(lines))
        pitches = list(now)
        for number, pitch in tuning.strings:
            index = number - 1 if tuning.by_line else len(now) - number
            if 0 <= index < len(pitches):
                pitches[index] = _in_octave(pitch, usual[index] if index < len(usual) else pitch)
        return Event(tuning, tuple(pitches))

    return change


def _in_octave(pitch: Pitch, usual: Pitch) -> Pitch:
    """The pitch, in the octave of the usual one where it lies most of an octave off: written, not sounding."""
    octaves = round((usual.cents - pitch.cents) / 1200) if abs(pitch.cents - usual.cents) > _FAR else 0
    return pitch.moved(0, 0, octaves) if octaves else pitch


def _told(direction: Direction, strings: Strings, usual: tuple[Pitch, ...]) -> Callable[[tuple[Pitch, ...]], Event | None]:
    def change(now: tuple[Pitch, ...]) -> Event | None:
        named = next((item for item in strings.tunings if item.words and says(direction.words, item.words)), None)
        if named is not None:
            return Event(direction, named.pitches, Words(), direction.words)
        words = read(direction.words, usual)
        if words is None:
            return None
        if words.back:
            return Event(direction, usual, words, direction.words) if now != usual else None
        pitches = list(now if len(now) == len(usual) else usual)
        for string, pitch in words.changes:
            pitches[string] = pitch
        return Event(direction, tuple(pitches), words, direction.words)

    return change


def failing(board: Board, heights: Iterable[int]) -> int:
    """How many of these pitches (cents) no string gives."""
    return sum(not board.stops(cents) for cents in heights)
