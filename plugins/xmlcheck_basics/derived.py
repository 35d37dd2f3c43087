"""Values that several basic rules share, computed once a chair."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from operator import itemgetter

from xmlcheck.plugin import (
    Chair,
    Cited,
    Clef,
    Compass,
    Convention,
    Grade,
    Key,
    Part,
    Pitch,
    Reading,
    ScoreFacts,
    Siblings,
    Tone,
    Transpose,
    derived,
    latest,
)
from xmlcheck_basics.advice import Advice
from xmlcheck_basics.transposing import silent, usual

Shift = Callable[[Tone], int]


@dataclass(frozen=True)
class ReadAs:
    """The reading of the part under which fewest notes leave the compass.

    tried: every reading that the file leaves open, in words, the chosen one first. convention: the one chosen, None where
    the file's own transposition holds. shift: cents to add to a tone's sounding pitch under this reading. sure: False for the
    part of a transposing instrument whose transposition the file leaves open: its key may be another one altogether.
    """

    tried: tuple[str, ...]
    convention: Convention | None
    shift: Shift
    sure: bool = True

    @property
    def cap(self) -> Grade | None:
        """The highest grade of what rests on this reading; None where it caps nothing."""
        return None if self.sure else Grade.QUERY

    @property
    def told(self) -> list[str]:
        """The readings to tell the reader: none where the file's own was the only one open."""
        return list(self.tried) if len(self.tried) > 1 else []

    def height(self, tone: Tone) -> int:
        """Cents of the tone under this reading, the middle C being 6000."""
        return tone.sounding.cents if self.shift is _still else tone.sounding.cents + self.shift(tone)


@derived
def read_as(chair: Chair, compass: Compass, reading: Reading | None) -> ReadAs:
    """Try the file's own reading first, then each convention that the file leaves open; keep the one with fewest notes outside.

    Where several are equal the first stays; the comfortable compass has no say, for it would let old customs excuse high writing.
    """
    low, high = lowest(chair, compass).value.cents, compass.highest.value.cents
    candidates: list[tuple[str, Convention | None, Shift]] = [("as the file says", None, _still)]
    candidates += _conventions(chair, reading)
    candidates += _octave_clef(chair)

    def outside(candidate: tuple[str, Convention | None, Shift]) -> int:
        return sum(not low <= tone.sounding.cents + candidate[2](tone) <= high for tone in chair.tones if not tone.harmonic)

    best = min(candidates, key=outside) if len(candidates) > 1 else candidates[0]
    names = [best[0], *(name for name, _, _ in candidates if name != best[0])]
    sure = reading is None or usual(reading) is None or not silent(chair)
    return ReadAs(tuple(dict.fromkeys(names)), best[1], best[2], sure)


@derived
def advice(chair: Chair, compass: Compass, read: ReadAs, siblings: Siblings | None) -> Advice:
    """What else would hold the part's notes."""
    return Advice(tuple(read.height(tone) for tone in chair.tones if not tone.harmonic), compass, siblings)


def lowest(chair: Chair, compass: Compass) -> Cited[Pitch]:
    """The lowest note of the compass, or the lowest string of a tuning written in the part where that is lower."""
    strings = [pitch for tuning in chair.part.tunings for _, pitch in tuning.strings]
    tuned = min(strings, key=lambda pitch: pitch.cents, default=None)
    if tuned is None or tuned.cents >= compass.lowest.value.cents:
        return compass.lowest
    return Cited(tuned, compass.lowest.cite, compass.lowest.certainty, "tuning written in the part", "the file")


def _still(tone: Tone) -> int:
    return 0


def _conventions(chair: Chair, reading: Reading | None) -> list[tuple[str, Convention | None, Shift]]:
    """Conventions that a silent file leaves open; one that belongs to a clef may also stand under a written transposition."""
    if reading is None or chair.facts.score.concert:
        return []
    transposed = [item for item in chair.part.transposes if not item.for_part and item.semitones != 0]
    result: list[tuple[str, Convention | None, Shift]] = []
    for convention in reading.conventions:
        if convention.clef:
            shift = _under_clef(chair, convention)
            if shift is not None:
                result.append((f"{convention.id} ({_amount(convention.semitones)})", convention, shift))
        elif not transposed and convention.semitones != 0:
            cents = int(convention.semitones * 100)
            result.append((f"{convention.id} ({_amount(convention.semitones)})", convention, _by(cents)))
    return result


def _by(cents: int) -> Shift:
    return lambda tone: cents


def _amount(semitones: Decimal) -> str:
    return (
        f"sounding {abs(semitones)} semitones {'lower' if semitones < 0 else 'higher'} than written"
        if semitones
        else "as written"
    )


def _under_clef(chair: Chair, convention: Convention) -> Shift | None:
    """The shift for tones under the convention's clef, nothing elsewhere; None where the part has no such clef."""
    if not any(_is(clef, convention) for clef in chair.part.clefs):
        return None

    def shift(tone: Tone) -> int:
        clef = latest(chair.part.clefs, tone.onset)
        here = clef is not None and _is(clef, convention)
        moved = tone.sounding.cents - tone.written.cents
        wanted = int(convention.semitones * 100)
        return wanted - moved if here and (wanted - moved) % 1200 == 0 else 0

    return shift


def _is(clef: Clef, convention: Convention) -> bool:
    return f"{clef.sign}{clef.line}" == convention.clef


def _octave_clef(chair: Chair) -> list[tuple[str, Convention | None, Shift]]:
    """An octave clef and an octave transposition of the same direction: exporters differ, so the octave is also left out."""
    octaves = {item.octave or int(item.chromatic / 12) for item in chair.part.transposes if not item.for_part} - {0}
    for clef in chair.part.clefs:
        if clef.octave and clef.octave in octaves:
            return [("octave clef and octave transposition counted once", None, _by(-1200 * clef.octave))]
    return []


@dataclass(frozen=True)
class ConcertKey:
    """The concert key of the other parts. changes: (tick, fifths), fifths None where the parts are evenly divided."""

    changes: tuple[tuple[int, int | None], ...]

    def at(self, tick: int) -> int | None:
        """Fifths (sharps positive) that most other parts are in at this tick; None where undecided."""
        index = bisect_right(self.changes, tick, key=itemgetter(0))
        return self.changes[index - 1][1] if index else None


@derived
def concert_key(chair: Chair) -> ConcertKey:
    """What the key signatures of the other parts say, each brought to concert pitch by its own transposition."""
    return chair.facts.once(_others_key, chair.part)


def _others_key(score: ScoreFacts, but: Part) -> ConcertKey:
    others = [part for part in score.score.parts if part is not but and part.notes]
    signs = [
        ([key for key in part.keys if key.fifths is not None], [item for item in part.transposes if not item.for_part])
        for part in others
    ]
    ticks = sorted({key.onset for keys, _ in signs for key in keys})
    return ConcertKey(tuple((tick, _majority(signs, tick)) for tick in ticks))


def _majority(parts: list[tuple[list[Key], list[Transpose]]], tick: int) -> int | None:
    votes: Counter[int] = Counter()
    for keys, transposes in parts:
        key, given = latest(keys, tick), latest(transposes, tick)
        if key is None or key.fifths is None:
            continue
        moved = fifths_moved(given.chromatic, given.diatonic) if given is not None and given.diatonic is not None else 0
        votes[key.fifths + moved] += 1
    if not votes:
        return None
    (fifths, count), *rest = votes.most_common(2)
    return None if rest and rest[0][1] == count else fifths


def fifths_moved(chromatic: Decimal, diatonic: int) -> int:
    """How many fifths a transposition moves a key: a fifth up (7 semitones, 4 steps) is 1, a tone down is -2."""
    return int(7 * chromatic - 12 * diatonic)
