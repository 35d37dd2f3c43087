"""Places of one part in a reader's words, for notes and signs as they are compared."""

from __future__ import annotations

from fractions import Fraction

from xmlcheck.comparing.change import Spot, Stretch
from xmlcheck.comparing.lexicon import Sign
from xmlcheck.comparing.matching import Placed
from xmlcheck.comparing.view import PartView
from xmlcheck.facts.places import Places
from xmlcheck.facts.time import FirstPass, TempoMap
from xmlcheck.model import Barline, Direction, Part


class Spots:
    """Turns heads, signs and bar indices of one part into values. `part` is the one whose bars give the names."""

    def __init__(self, part: Part, resolution: int) -> None:
        self.part, self._resolution = part, resolution
        # Seconds are not asked for, so the clock has no bars.
        self._places = Places(part, resolution, FirstPass(TempoMap(resolution, (0,), (Fraction(120),), (0.0,), False), (), ()))

    def bar(self, index: int) -> str:
        """A bar's text, told apart where the file uses it twice."""
        bars = self._places.bars
        return bars[index] if 0 <= index < len(bars) else str(index + 1)

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
        )

    def sign(self, bar: int, sign: Sign, common: int) -> Spot:
        """A sign at its place. common: ticks a quarter note of the grid that the sign counts in."""
        measure = self.part.measures[min(bar, len(self.part.measures) - 1)]
        at = Fraction(sign.at, common) if sign.at >= 0 else Fraction(measure.length, self._resolution)
        return Spot(
            bar_index=bar,
            bar=self.bar(bar),
            beat=self._places.beat(measure, measure.onset + round(at * self._resolution)),
            at=str(at),
            staff=sign.staff,
        )

    def stretch(self, first: int, last: int, beat: str | None = None) -> Stretch:
        return Stretch(first, self.bar(first), last, self.bar(last), beat)

    def anchor(self, item: Placed) -> int:
        return self.part.notes[item.note].anchor


def source_of(view: PartView, index: int) -> Direction | Barline | None:
    """What a sign of a view was read from; None for one on a rest."""
    return view.signs_of[index] if 0 <= index < len(view.signs_of) else None
