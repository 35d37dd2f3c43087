"""What the rules of all stopped strings share, computed once a chair: tuning, stroke, chords, the path of the hand."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from xmlcheck.plugin import Chair, Span, Techniques, Tone, Wording, covering, derived, inside, spans
from xmlcheck_basics.derived import ReadAs
from xmlcheck_strings import runs
from xmlcheck_strings.board import Board
from xmlcheck_strings.chords import Chord, Finder
from xmlcheck_strings.facets import Bow, Fingerboard, Hand, Strings
from xmlcheck_strings.fingering import Fingering, Step, finger
from xmlcheck_strings.shapes import best
from xmlcheck_strings.stringing import Stringing, board, events, failing

PLUCKED = ("pizzicato", "snap-pizzicato", "plucking")
"""Ids of techniques that are in force while a bowed instrument is plucked."""

OVERLAP = 0.25
"""Quarter notes that a held note must run into the next for the two to be a double stop and no overlap of legato playing (ours)."""


@dataclass(frozen=True)
class Stroke:
    """How the strings are sounded. bow: None on plucked instruments. plucked: spans in which a bowed part is plucked."""

    bow: Bow | None
    plucked: tuple[Span, ...] = ()

    def bowed(self, tick: int, staff: int = 1) -> bool:
        """Whether the bow sounds what stands here."""
        if not self.plucked:
            return self.bow is not None
        return self.bow is not None and not self._is_plucked(tick, staff)

    @cached_property
    def _is_plucked(self) -> Callable[[int, int | None], bool]:
        return covering(self.plucked)

    def side_by_side(self, tick: int, staff: int = 1) -> bool:
        """Whether notes together have to lie on neighbouring strings: under a bow, not over a wheel, which rubs them all."""
        return self.bow is not None and self.bow.hold.value != "wheel" and self.bowed(tick, staff)


@derived
def stroke(chair: Chair, bow: Bow | None, techniques: Techniques | None) -> Stroke:
    """Pizzicato by the words of the profile's own technique."""
    if bow is None or techniques is None:
        return Stroke(bow)
    lasting = [item for item in techniques.has if item.id in PLUCKED and item.lasting]
    return Stroke(bow, spans(chair.directions, [Wording(item.id, item.words, item.cancels, True) for item in lasting]))


@dataclass(frozen=True)
class Strokes:
    """The tones that take a stroke of their own, voice by voice, in order."""

    lines: tuple[tuple[Tone, ...], ...]


@derived
def strokes(chair: Chair) -> Strokes:
    """Slurs, hammered notes and tremolo signs aside, each tone is a stroke."""
    return Strokes(tuple(tuple(runs.strokes(line)) for line in chair.lines))


@dataclass(frozen=True)
class Heights:
    """Sounding cents of tones under the reading of the part that fits best."""

    read: ReadAs | None

    def __call__(self, tone: Tone) -> int:
        return self.read.height(tone) if self.read is not None else tone.sounding.cents


@derived
def heights(read: ReadAs | None) -> Heights:
    """The part's reading, or the file's own pitches."""
    return Heights(read)


@derived
def stringing(
    chair: Chair, strings: Strings, fingerboard: Fingerboard | None, hand: Hand | None, height: Heights, touch: Stroke
) -> Stringing:
    """The strings through the part; a tuning in common use where the notes call for one and the part names none."""
    usual = tuple(course.pitch for course in strings.courses)
    found, capos = events(chair, strings, usual)
    pitches = {height(tone) for tone in chair.tones if not tone.harmonic}

    def made(open: tuple, capo: int = 0) -> Board:  # type: ignore[type-arg]
        return board(strings, fingerboard, hand, open, capo)

    plain = made(usual)
    if not found:
        common = [None, *(item for item in strings.tunings if item.common)]
        named = min(common, key=lambda item: failing(made(item.pitches) if item else plain, pitches))
        return Stringing(named.pitches if named else usual, made(named.pitches) if named else plain, named=named)
    boards = tuple(made(event.pitches, capo) for event, capo in zip(found, capos, strict=True))
    sounding = Stringing(usual, plain, found, boards)
    if not sounding.retuned:
        return sounding
    fingered = Stringing(usual, plain, found, boards, fingered=True)
    failing_sounding, failing_fingered = (_unplayable(chair, item, height, touch) for item in (sounding, fingered))
    best_one = fingered if failing_fingered < failing_sounding else sounding
    return replace(best_one, failures=(failing_sounding, failing_fingered))


def _unplayable(chair: Chair, stringing: Stringing, height: Heights, touch: Stroke) -> int:
    """Onsets that no fingering gives under this reading of the tuning."""
    count = 0
    for sonority in chair.sonorities:
        here = stringing.board_at(sonority.onset)
        pitches = tuple(sorted({height(tone) for tone in sonority.struck if not tone.harmonic}))
        if len(pitches) == 1:
            count += not here.stops(pitches[0])
        elif pitches:
            shape = best(here, pitches, touch.side_by_side(sonority.onset))
            count += shape is None or not shape.fits
    return count


@dataclass(frozen=True)
class Chords:
    """The chords of the part, in order."""

    chords: tuple[Chord, ...]


class Finders:
    """One finder for each board."""

    def __init__(self) -> None:
        self._by_board: dict[int, Finder] = {}

    def of(self, board: Board) -> Finder:
        """The finder of a board."""
        found = self._by_board.get(id(board))
        if found is None:
            found = self._by_board[id(board)] = Finder(board)
        return found


@derived
def finders() -> Finders:
    """Kept with the chair, so that chords and hand share what they find."""
    return Finders()


@derived
def chords(chair: Chair, stringing: Stringing, touch: Stroke, height: Heights, finders: Finders) -> Chords:
    """Each onset at which two or more different pitches are struck, or under the bow struck and held; harmonics aside. A plucked
    note that rings into the next is not looked at: the string that is taken away just falls silent."""
    result = []
    shortest = chair.facts.score.resolution * OVERLAP
    for sonority in chair.sonorities:
        if len(sonority.tones) < 2:
            continue
        held = len(sonority.tones) > len(sonority.struck)
        if held and (sonority.end - sonority.onset < shortest or not touch.bowed(sonority.onset, sonority.struck[0].staff)):
            held = False
        sounding = sonority.tones if held else sonority.struck
        if inside(chair.seat.divided, sonority.onset):
            continue  # words say that players share the notes
        by_height = {height(tone): tone for tone in sounding if not tone.harmonic}
        if len(by_height) < 2:
            continue
        keys = tuple(sorted(by_height))
        tones = tuple(by_height[key] for key in keys)
        here = stringing.board_at(sonority.onset)
        finder, staff = finders.of(here), tones[0].staff
        bowed, beside = touch.bowed(sonority.onset, staff), touch.side_by_side(sonority.onset, staff)
        shape = finder.shape(keys, beside)
        missing: tuple[Tone, ...] = ()
        crowded: tuple[Tone, ...] = ()
        if shape is None:
            missing = tuple(tone for key, tone in zip(keys, tones, strict=True) if not here.stops(key))
            crowded = () if missing else tuple(by_height[key] for key in finder.crowded(keys) or keys)
        one = chair.for_one_player(sonority.onset) and len({tone.voice for tone in tones}) == 1
        result.append(Chord(sonority, tones, keys, here, bowed, beside, one, shape, missing, crowded, held))
    return Chords(tuple(result))


@derived
def fingering(chair: Chair, stringing: Stringing, touch: Stroke, height: Heights, finders: Finders) -> Fingering:
    """The path of the hand through the part; open strings and harmonics leave the hand free."""
    return finger(chair, tuple(_steps(chair, stringing, touch, height, finders)))


def _steps(chair: Chair, stringing: Stringing, touch: Stroke, height: Heights, finders: Finders) -> Iterable[Step]:
    one = stringing.board if stringing.fingered or not stringing.boards else None
    if (one or stringing.board).neck.grip is None or not (one or stringing.board).neck.scale_mm:
        return
    for sonority in chair.sonorities:
        here = one if one is not None else stringing.board_at(sonority.onset)
        struck = sonority.struck
        tone = struck[0]
        if len(struck) == 1:
            places = here.mask(height(tone)) if not tone.harmonic else 0
        else:
            keys = tuple(sorted({height(item) for item in struck if not item.harmonic}))
            places = finders.of(here).places(keys, touch.side_by_side(sonority.onset)) if keys else 0
        if places and places != here.anywhere:
            yield Step(sonority.onset, places, tone, here)
