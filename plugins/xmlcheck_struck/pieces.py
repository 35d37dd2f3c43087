"""Which piece of a kit a head without pitch means, and what hands and feet strike together."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from xmlcheck.plugin import CUE, GRACE, HIDDEN, SILENT, Chair, Note, Pitch, pitch, says
from xmlcheck_struck.facets import Piece, Strokes
from xmlcheck_struck.striking import place_of

FOOT = (pitch("F4"), pitch("D4"))
"""Places of the bass drum and of the hi-hat pedal in a kit's staff where nothing names them (common practice, no source)."""
_SILENT = CUE | GRACE | HIDDEN | SILENT


@dataclass(frozen=True)
class Struck:
    """What is struck at one moment. hands, feet: how many each needs. pieces: what they strike, as far as the file tells."""

    notes: tuple[Note, ...]
    hands: int
    feet: int
    pieces: tuple[str, ...]

    @property
    def onset(self) -> int:
        return self.notes[0].onset

    @property
    def measure(self) -> int:
        return self.notes[0].measure

    @property
    def anchor(self) -> int:
        return self.notes[0].anchor


@dataclass(frozen=True)
class Limbs:
    """All moments of a part without pitch, in order of time."""

    moments: tuple[Struck, ...]


def limbs(chair: Chair, strokes: Strokes) -> Limbs:
    """Two heads at one place are two strokes; grace notes, cue notes and what is silent are none."""
    found: dict[int, list[Note]] = {}
    for note in chair.notes:
        if not note.flags & _SILENT and not note.tie_stop:
            found.setdefault(note.onset, []).append(note)
    names = {item.id: (item.name, item.sound) for item in chair.part.instruments} if len(chair.part.instruments) > 1 else {}
    return Limbs(tuple(_struck(found[onset], strokes, names) for onset in sorted(found)))


def _struck(notes: list[Note], strokes: Strokes, names: dict[str, tuple[str, str]]) -> Struck:
    hands = feet = 0
    told: list[str] = []
    seen: set[tuple[str, tuple[str, str]]] = set()
    for note in notes:
        name, sound = names.get(note.instruments[0], ("", "")) if note.instruments else ("", "")
        piece = named(strokes, name, sound)
        if piece is not None and piece.both and (piece.id, place_of(note)) in seen:
            continue  # two heads of one pair
        if piece is not None:
            seen.add((piece.id, place_of(note)))
        unnamed_foot = piece is None and not name and strokes.feet is not None and strokes.feet.value > 1 and _low(note.display)
        if unnamed_foot or (piece is not None and piece.foot):
            feet += 1
        else:
            hands += 2 if piece is not None and piece.both else 1
        told.append(piece.title if piece is not None else name)
    return Struck(tuple(notes), hands, feet, tuple(dict.fromkeys(text for text in told if text)))


@lru_cache(maxsize=256)
def named(strokes: Strokes, name: str, sound: str) -> Piece | None:
    """The piece of this name or standard sound id. The longest name that is said decides: a foot's hi-hat before the hi-hat."""
    best: tuple[int, Piece] | None = None
    for piece in strokes.pieces:
        for word in piece.words:
            if name and says(name, (word,)) and (best is None or len(word) > best[0]):
                best = (len(word), piece)
    if best is not None:
        return best[1]
    return next((piece for piece in strokes.pieces if sound and sound in piece.sounds), None)


def _low(shown: Pitch | None) -> bool:
    return shown is not None and any(shown.cents == place.cents for place in FOOT)
