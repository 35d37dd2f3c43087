"""Places of one part in a reader's words, for notes and signs as they are compared."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from xmlcheck.comparing.change import Spot, Stretch
from xmlcheck.comparing.matching import Placed
from xmlcheck.comparing.raw import SignAt
from xmlcheck.comparing.telling import sung
from xmlcheck.facts.places import Places
from xmlcheck.facts.time import FirstPass, TempoMap
from xmlcheck.model import Barline, Direction, Note, Part


class Spots:
    """Turns heads, signs and bar indices of one part into values. `part` is the one whose bars give the names.

    sources: what the signs of its view were read from.
    """

    def __init__(self, part: Part, resolution: int, sources: Sequence[Direction | Barline] = ()) -> None:
        self.part, self._resolution, self._sources = part, resolution, sources
        # Seconds are not asked for, so the clock has no bars.
        self._places = Places(part, resolution, FirstPass(TempoMap(resolution, (0,), (Fraction(120),), (0.0,), False), (), ()))

    @property
    def taken(self) -> frozenset[str]:
        """The texts of all bars."""
        return frozenset(self._places.bars)

    def bar(self, index: int) -> str:
        """A bar's text, told apart where the file uses it twice."""
        bars = self._places.bars
        return bars[index] if 0 <= index < len(bars) else str(index + 1)

    def place(self, note: Note) -> tuple[str, str]:
        """The bar and the beat of a note of the part."""
        return self.bar(note.measure), self._places.beat(self.part.measures[note.measure], note.onset)

    def note(self, item: Placed) -> Spot:
        note = self.part.notes[item.note]
        measure = self.part.measures[note.measure]
        return Spot(
            bar_index=note.measure,
            bar=self.bar(note.measure),
            beat=self._places.beat(measure, note.onset),
            at=str(Fraction(note.onset - measure.onset, self._resolution)),
            staff=note.staff,
            quarters=str(Fraction(note.duration, self._resolution)),
            written=note.written.name if note.written is not None else None,
            sounding=note.sounding.name if note.sounding is not None else None,
            grace=item.head.order,
            tied=item.head.tie,
            signs=tuple(token.says for token in item.head.marks),
            sung=sung(item.head.sung),
        )

    def sign(self, item: SignAt) -> Spot:
        """A sign at its place: at its own, not at that of the grid."""
        measure = self.part.measures[min(item.bar, len(self.part.measures) - 1)]
        ticks = measure.length if item.sign.at < 0 else self._tick(item) - measure.onset
        return Spot(
            bar_index=item.bar,
            bar=self.bar(item.bar),
            beat=self._places.beat(measure, measure.onset + ticks),
            at=str(Fraction(ticks, self._resolution)),
            staff=item.sign.staff,
        )

    def _tick(self, item: SignAt) -> int:
        if item.source < 0:
            return self.part.rests[-1 - item.source].onset
        source = self._sources[item.source]
        tempo = isinstance(source, Direction) and item.sign.token.category == "tempo" and not item.sign.token.extra
        return source.sound_at if tempo and isinstance(source, Direction) else source.onset

    def stretch(self, first: int, last: int, beat: str | None = None) -> Stretch:
        return Stretch(first, self.bar(first), last, self.bar(last), beat)

    def anchor(self, item: Placed) -> int:
        return self.part.notes[item.note].anchor
