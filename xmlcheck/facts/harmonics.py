"""Harmonics: which heads of a chord are one sound, and which pitch that is.

MusicXML 4.0, element harmonic: base-pitch is the string "before touching", touching-pitch where it is touched, sounding-pitch
what is heard. Many files draw a diamond head for the touched place and say no more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from xmlcheck.model import Note
from xmlcheck.pitch import Pitch

TOUCHED_RISE = {3: 31, 4: 28, 5: 24, 7: 19, 9: 28, 12: 12}
"""Semitones from the stopped note to the sound, by the interval touched: at 1/6, 1/5, 1/4, 1/3, 2/5 and 1/2 of the string."""


@dataclass(frozen=True, slots=True)
class Sound:
    """The heads of one sound. state: "" for an ordinary note, "known" or "open" as in `Tone.harmonic`."""

    heads: tuple[Note, ...]
    pitch: Pitch
    state: str = ""
    stopped: Pitch | None = None


def odd(note: Note) -> bool:
    """Whether a head is, or may be, part of a harmonic."""
    return note.harmonic is not None or note.notehead == "diamond"


def sounds(heads: Sequence[Note], helpers: Sequence[Note] = ()) -> list[Sound]:
    """The sounds of one chord that has an odd head, in order of their first head.

    helpers: small, parenthesised or hidden heads of the chord, which only tell what sounds.
    """
    left = list(heads)
    sounding = [note for note in (*heads, *helpers) if _role(note, heads) == "sounding"]
    groups: list[list[Note]] = []
    for touched in [note for note in _by_height(heads) if _role(note, heads) == "touching"]:
        base = _base(touched, left, heads)
        left = [note for note in left if note is not touched and note is not base]
        groups.append([touched] if base is None else [base, touched])
    alone = [note for note in left if _role(note, heads) != "sounding"]
    groups += [[note] for note in alone if odd(note)]
    result = [_harmonic(group, heads, sounding) for group in groups]
    result += [Sound((note,), _pitch(note), "known") for note in sounding if note in left]
    result += [Sound((note,), _pitch(note)) for note in alone if not odd(note)]
    place = {id(note): index for index, note in enumerate(heads)}
    return sorted(result, key=lambda sound: place[id(sound.heads[0])])


def _pitch(note: Note) -> Pitch:
    if note.sounding is None:
        raise ValueError("a head without pitch is no harmonic")  # the callers keep them out
    return note.sounding


def _by_height(heads: Sequence[Note]) -> list[Note]:
    return sorted(heads, key=lambda note: _pitch(note).cents)


def _rise(base: Note, touched: Note) -> int | None:
    """Semitones from the base to the sound; None where the string has no usual node there."""
    return TOUCHED_RISE.get(round((_pitch(touched).cents - _pitch(base).cents) / 100))


def _role(note: Note, heads: Sequence[Note]) -> str:
    """What a head shows: base, touching, sounding, or "" where the file does not say."""
    if note.harmonic is not None and note.harmonic.head:
        return note.harmonic.head
    if note.notehead == "diamond":
        return "touching"
    if not _made(note):
        return ""
    pair = any(_made(low) and low.notehead != "diamond" and _rise(low, note) is not None for low in heads)
    return "touching" if pair else ""  # the upper of two signed alike, a node apart


def _made(note: Note) -> bool:
    """Whether a head is signed as artificial, without its role."""
    return note.harmonic is not None and note.harmonic.kind == "artificial" and not note.harmonic.head


def _base(touched: Note, left: Sequence[Note], heads: Sequence[Note]) -> Note | None:
    """The head that shows the stopped (or open) string under a touched one: at a node if there is one, named before plain."""
    told = touched.harmonic is not None and touched.harmonic.head == "touching"
    best: tuple[tuple[bool, bool, int], Note] | None = None
    for note in left:
        role = _role(note, heads)
        distance = _pitch(touched).cents - _pitch(note).cents
        node = _rise(note, touched) is not None
        plain = note.harmonic is None or _made(note)
        if distance <= 0 or not (role == "base" or (role == "" and plain)) or not (node or told or role == "base"):
            continue
        rank = (not node, role != "base", distance)
        if best is None or rank < best[0]:
            best = rank, note
    return best[1] if best is not None else None


def _harmonic(group: list[Note], heads: Sequence[Note], sounding: list[Note]) -> Sound:
    """The sound of one base, touched place or both; takes the head that tells what is heard out of `sounding`."""
    base = group[0] if len(group) == 2 else None
    rise = _rise(*group) if len(group) == 2 else None
    expected = _pitch(group[0]).moved(rise) if rise is not None else None
    heard = next((note for note in sounding if expected is not None and _pitch(note).cents == expected.cents), None)
    heard = heard or next(iter(sounding), None)
    pitch, state = (expected, "known") if expected is not None else (_pitch(group[0]), "open")
    if heard is not None:
        sounding.remove(heard)
        pitch, state = _pitch(heard), "known"
        group = [*group, heard]
    natural = any(note.harmonic is not None and note.harmonic.kind == "natural" for note in group)
    seen = sorted(group, key=lambda note: not any(note is head for head in heads))
    return Sound(tuple(seen), pitch, state, _pitch(base) if base is not None and not natural else None)
