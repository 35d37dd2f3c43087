"""Numbers for what is compared: equal noteheads have equal numbers, in both files, so that whole bars compare as tuples of them."""

from __future__ import annotations

from typing import NamedTuple

from xmlcheck.comparing.tokens import Token, token
from xmlcheck.model import CUE, GRACE, HIDDEN, OPTIONAL, SHAPED, SILENT, SMALL, Mark
from xmlcheck.pitch import Pitch

CUE_OR_GRACE = CUE | GRACE
KINDS = GRACE | CUE | HIDDEN | SILENT | SMALL | OPTIONAL | SHAPED
"""The flags of a note that are compared. Chord is none: two voices and one chord are the same notes."""
SOUNDING, WRITTEN = 0, 1
"""By which pitch two parts are compared."""
UNPITCHED = -10_000_000


class Head(NamedTuple):
    """One notehead in its bar, in ticks of the common grid. Pitches and looks are numbers of the lexicon.

    order: place among grace notes before the same note, from 1; 0 for other notes. tie: tied on to the next; where a tie ends
    follows from where it begins. look: type, dots, ratio, printed sign, notehead. player: the part's instrument, where it has several.
    sung: syllables as (verse, syllabic, text).
    """

    at: int
    length: int
    sounding: int
    written: int
    staff: int
    order: int
    kind: int
    tie: bool
    marks: tuple[Token, ...]
    look: tuple[object, ...]
    player: str
    sung: tuple[tuple[str, str, str], ...]

    def pitch(self, basis: int) -> int:
        """The number of its sounding or of its written pitch."""
        return self.sounding if basis == SOUNDING else self.written


class Sign(NamedTuple):
    """A direction, chord symbol or barline sign in its bar. at: ticks, -1 for the right barline. staff: 0 for all."""

    at: int
    staff: int
    token: Token


class Lexicon:
    """Grows while the parts of both files are read; not shared between comparisons."""

    def __init__(self) -> None:
        self.heads: list[Head] = []
        self.signs: list[Sign] = []
        self.pitches: list[Pitch | None] = []
        self.cents: list[int] = []
        self._heads: dict[tuple[object, ...], int] = {}
        self._signs: dict[Sign, int] = {}
        self._pitches: dict[object, int] = {}
        self._same: dict[int, tuple[Pitch, int]] = {}
        self._tokens: dict[int, tuple[Mark, Token | None]] = {}
        self._cores: dict[int, dict[tuple[int, ...], int]] = {SOUNDING: {}, WRITTEN: {}}
        self._core_of: dict[int, list[int]] = {SOUNDING: [], WRITTEN: []}

    def head(self, raw: tuple[object, ...]) -> int:
        """The number of a notehead given by the fields of Head in order."""
        code = self._heads.get(raw)
        if code is None:
            code = self._heads[raw] = len(self.heads)
            self.heads.append(Head(*raw))  # type: ignore[arg-type]  # the one caller gives the fields in order
        return code

    def sign(self, sign: Sign) -> int:
        code = self._signs.get(sign)
        if code is None:
            code = self._signs[sign] = len(self.signs)
            self.signs.append(sign)
        return code

    def pitch(self, pitch: Pitch) -> int:
        """The number of a pitch. Pitches are interned by the reader, so most are known by identity."""
        known = self._same.get(id(pitch))
        if known is None:
            known = self._same[id(pitch)] = (pitch, self._number(pitch, pitch, pitch.cents))
        return known[1]

    def unpitched(self, display: Pitch | None) -> int:
        """The number of an unpitched note by its place on the staff."""
        return self._number(("unpitched", display), None, UNPITCHED + (display.cents if display else 0))

    def _number(self, key: object, pitch: Pitch | None, cents: int) -> int:
        code = self._pitches.get(key)
        if code is None:
            code = self._pitches[key] = len(self.pitches)
            self.pitches.append(pitch)
            self.cents.append(cents)
        return code

    def token(self, mark: Mark) -> Token | None:
        known = self._tokens.get(id(mark))
        if known is None:
            known = self._tokens[id(mark)] = (mark, token(mark))
        return known[1]

    def core(self, code: int, basis: int) -> int:
        """The number of what a head is as a note: when, how long, which pitch, on which staff; marks left aside."""
        numbers = self._core_of[basis]
        cores = self._cores[basis]
        for head in self.heads[len(numbers) :]:
            pitch = head.pitch(basis)
            key = (head.at, head.length, self.cents[pitch], head.staff, head.order, head.kind & CUE_OR_GRACE)
            numbers.append(cores.setdefault(key, len(cores)))
        return numbers[code]
