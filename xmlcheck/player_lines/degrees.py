"""Degrees of numbered notation: 1 is the tonic of the declared key, else the major tonic of the signature.

That a minor piece is read from 6 is the custom of numbered notation in East Asia (common practice, no source). The octave that
stands without a mark differs from instrument to instrument, so the head names the note: `1 = D4`.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from xmlcheck.model import Key, Note, Part
from xmlcheck.pitch import STEPS, Pitch
from xmlcheck.player_lines.line import Line, chords, first_from, line_at
from xmlcheck.player_lines.wish import Wish
from xmlcheck.player_lines.words import said

_LETTERS = "FCGDAEB"
"""Letters in the order of fifths."""


def fifths_of(key: str) -> int | None:
    """The signature of the major key of a name such as `D` or `Bb`: sharps, flats below 0. None where it is no name."""
    text = key.strip().replace("♭", "b").replace("♯", "#")
    letter, signs = text[:1].upper(), text[1:]
    if not letter or letter not in _LETTERS or set(signs) not in (set(), {"b"}, {"#"}) or len(signs) > 1:
        return None
    return _LETTERS.index(letter) - 1 + (7 * len(signs) if "#" in signs else -7 * len(signs))


def tonic(fifths: int) -> Pitch:
    """The major tonic of a signature, in the octave of middle C."""
    octaves, place = divmod(fifths + 1, 7)
    return Pitch(_LETTERS[place], Decimal(octaves), 4)


def degree(note: Pitch, one: Pitch) -> str:
    """The degree of a note where `one` is 1: `5`, `#4`, `b7'`, `6,`; empty for a note between the semitones."""
    steps = STEPS.index(note.step) - STEPS.index(one.step) + 7 * (note.octave - one.octave)
    octaves, place = divmod(steps, 7)
    natural = one.moved(_MAJOR[place], place, octaves)
    off = note.alter - natural.alter
    if off != int(off) or abs(off) > 2:
        return ""
    signs = "#" * int(off) if off > 0 else "b" * int(-off)
    return f"{signs}{place + 1}" + ("'" * octaves if octaves > 0 else "," * -octaves)


_MAJOR = (0, 2, 4, 5, 7, 9, 11)


def degree_lines(part: Part, notes: tuple[Note, ...], wish: Wish) -> Iterator[Line]:
    """`1 = D4` where the key begins or changes, and a number under each note. Sounding notes are read, whatever is written.

    Nothing where no key is declared and the file gives no signature.
    """
    keys = _keys(part, wish)
    if not keys:
        return
    for tick, one in keys:
        at = first_from(notes, tick)
        if at is not None:
            yield line_at(part, at, said("degrees", wish.language).format(one=one.name))
    for together in chords(notes):
        one = next((one for tick, one in reversed(keys) if tick <= together[0].onset), keys[0][1])
        numbers = [degree(note.sounding, one) for note in together if note.sounding is not None]
        if all(numbers):
            yield line_at(part, together[0], " ".join(numbers), below=True)


def _keys(part: Part, wish: Wish) -> list[tuple[int, Pitch]]:
    """(tick, the note called 1), as it sounds; changes only."""
    own = fifths_of(wish.key) if wish.key else None
    if own is not None:
        return [(0, tonic(own))]
    found: list[tuple[int, Pitch]] = []
    for key in part.keys:
        if key.staff not in (0, 1) or key.fifths is None:
            continue
        one = tonic(_concert(part, key, key.fifths))
        if not found or found[-1][1] != one:
            found.append((key.onset, one))
    return found


def _concert(part: Part, key: Key, fifths: int) -> int:
    """The sounding signature: a semitone up is seven fifths, a letter step with it takes twelve off."""
    moves = [move for move in part.transposes if not move.for_part and move.onset <= key.onset and move.staff in (0, 1)]
    if not moves:
        return fifths
    shift = int(moves[-1].chromatic)
    steps = moves[-1].diatonic
    sounding = fifths + 7 * shift - 12 * (steps if steps is not None else round(shift * 7 / 12))
    return sounding if abs(sounding) <= 7 else (sounding + 6) % 12 - 6
