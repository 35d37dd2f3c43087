"""Note values in quarter notes, and the little about time and bars that many rules share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from xmlcheck.plugin import CUE, GRACE, HIDDEN, SMALL, Measure, Note, Part, ScoreFacts

_NAMES = (
    "maxima", "long", "breve", "whole", "half", "quarter", "eighth",
    "16th", "32nd", "64th", "128th", "256th", "512th", "1024th",
)  # fmt: skip
LENGTHS = {name: Fraction(32, 2**power) for power, name in enumerate(_NAMES)}
"""Quarter notes in each note value (MusicXML 4.0, data type note-type-value)."""
HAIR = Fraction(1, 8)
"""Quarter notes: what is shorter than a 32nd note and stands alone is residue of playing, not rhythm (engineering choice)."""

_UNREAL = CUE | GRACE | HIDDEN | SMALL
ROUNDED = Fraction(1, 24)
"""Quarter notes up to which a length counts as rounded, not as another length (engineering choice)."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a part that no event marks: the start of a bar, a tick in it."""

    onset: int
    measure: int
    anchor: int = -1
    staff: int = 0


def at_bar(measure: Measure) -> Spot:
    """The start of a bar."""
    return Spot(measure.onset, measure.index, measure.anchor)


def worth(note: Note) -> Fraction | None:
    """Quarter notes that the printed note lasts: its value, dots and tuplet ratio; None where it has no known value."""
    return _worth(note.type, note.dots, note.ratio)


@lru_cache(maxsize=1024)
def _worth(name: str, dots: int, ratio: tuple[int, int] | None) -> Fraction | None:
    plain = LENGTHS.get(name)
    if plain is None:
        return None
    actual, normal = ratio or (1, 1)
    return plain * (2 - Fraction(1, 2 ** min(dots, 8))) * normal / actual


def agrees(note: Note, resolution: int) -> bool:
    """Whether a note's length is exactly its printed value, or it has none."""
    value = _worth(note.type, note.dots, note.ratio)
    return value is None or note.duration * value.denominator == value.numerator * resolution


def real(note: Note) -> bool:
    """Whether a head asks something of the player at its time: no cue, grace, hidden or small note."""
    return not note.flags & _UNREAL


def ends(part: Part) -> dict[int, int]:
    """The tick of the furthest end of a bar's notes, by bar index, for bars with notes that ask something of the player."""
    result: dict[int, int] = {}
    for note in part.notes:
        if not note.flags & _UNREAL:
            end, bar = note.onset + note.duration, note.measure
            if end > result.get(bar, -1):
                result[bar] = end
    return result


def unclaimed(score: ScoreFacts, part: Part) -> tuple[Note, ...]:
    """The notes of a part that no claim rule has taken."""
    chairs = score.chairs_of(part)
    if not chairs or sum(len(chair.notes) for chair in chairs) >= len(part.notes):
        return part.notes
    left = {note.anchor for chair in chairs for note in chair.notes}
    return tuple(note for note in part.notes if note.anchor in left)


def told(quarters: Fraction) -> str:
    """Quarter notes as text: `1/2`, `1+1/3`."""
    whole, rest = divmod(quarters, 1)
    return str(whole) if not rest else f"{whole}+{rest}" if whole else str(rest)


def nominal(part: Part, resolution: int) -> dict[int, int]:
    """Ticks of a full bar by bar index, for the bars whose meter says so. Where staves differ the longest counts."""
    result: dict[int, int] = {}
    times = sorted(part.times, key=lambda time: time.onset)
    held: dict[int, Fraction | None] = {}
    position, full = 0, 0
    for measure in part.measures:
        changed = False
        while position < len(times) and times[position].measure <= measure.index:
            changed = True
            time = times[position]
            if time.staff == 0:
                held.clear()
            held[time.staff] = time.quarters
            position += 1
        if changed:
            lengths = [length for length in held.values() if length is not None]
            full = round(max(lengths) * resolution) if lengths and len(lengths) == len(held) else 0
        if full:
            result[measure.index] = full
    return result


def common(meters: Sequence[Mapping[int, int]]) -> dict[int, int]:
    """Ticks of a full bar by bar index, by most of these parts' meters; of equal numbers the upper part's."""
    votes: dict[int, Counter[int]] = {}
    for own in meters:
        for bar, length in own.items():
            votes.setdefault(bar, Counter())[length] += 1
    return {bar: lengths.most_common(1)[0][0] for bar, lengths in votes.items()}
