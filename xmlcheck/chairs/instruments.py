"""Several score-instruments in one part: one player's kit, one player who changes, or players side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from xmlcheck.model import Note, Part, ScoreInstrument

Group = tuple[ScoreInstrument | None, tuple[Note, ...]]
_KIT = ""


@dataclass(frozen=True, slots=True)
class Hands:
    """Who plays the notes of a part.

    first: the instrument of the part, or of its first note; None where several unpitched ones are a kit, which the heading
    names. turns: (tick, instrument) where one player changes. beside: instruments that sound side by side, with their notes;
    else empty. marked: whether the notes say which instrument they are for.
    """

    first: ScoreInstrument | None
    turns: tuple[tuple[int, ScoreInstrument], ...] = ()
    beside: tuple[Group, ...] = ()
    marked: bool = False


def hands(part: Part) -> Hands:
    """Who plays the notes of a part, by the <instrument> of each; a note without goes on with that of its voice."""
    by_id = {instrument.id: instrument for instrument in part.instruments}
    marked = any(name in by_id for note in part.notes for name in note.instruments)
    alone = part.instruments[0] if part.instruments else None
    if not marked or len(by_id) < 2:
        return Hands(alone, marked=marked)
    owners = _owners(part.notes, by_id)
    kit = _kit(part.notes, owners)
    owners = [tuple(dict.fromkeys(_KIT if name in kit else name for name in names)) for names in owners]
    used = {name for names in owners for name in names}
    if len(used) == 1:
        return Hands(by_id.get(owners[0][0]), marked=True)
    turns = _turns(part.notes, owners)
    if turns is not None and _KIT not in used:
        return Hands(by_id[turns[0][1]], tuple((tick, by_id[name]) for tick, name in turns[1:]), marked=True)
    place = {instrument.id: index for index, instrument in enumerate(part.instruments)}
    notes: dict[str, list[Note]] = {}
    for note, names in zip(part.notes, owners, strict=True):
        for name in names:
            notes.setdefault(name, []).append(note)
    order = sorted(notes, key=lambda name: (notes[name][0].onset, place.get(name, len(place))))
    return Hands(alone, beside=tuple((by_id.get(name), tuple(notes[name])) for name in order), marked=True)


def _owners(notes: Sequence[Note], by_id: Mapping[str, ScoreInstrument]) -> list[tuple[str, ...]]:
    """The instruments of each note."""
    latest: dict[str, tuple[str, ...]] = {}
    first = next(name for note in notes for name in note.instruments if name in by_id)
    owners = []
    for note in notes:
        own = tuple(name for name in note.instruments if name in by_id) or latest.get(note.voice, (first,))
        latest[note.voice] = own
        owners.append(own)
    return owners


def _kit(notes: Sequence[Note], owners: Sequence[tuple[str, ...]]) -> frozenset[str]:
    """Instruments without any pitched note, if there are several: one player's kit."""
    used = {name for names in owners for name in names}
    pitched = {name for note, names in zip(notes, owners, strict=True) if not note.unpitched for name in names}
    return frozenset(used - pitched) if len(used - pitched) > 1 else frozenset()


def _turns(notes: Sequence[Note], owners: Sequence[tuple[str, ...]]) -> list[tuple[int, str]] | None:
    """Where the instrument changes, if one player can do it: never two at once, and a rest before each change, else None.

    Without a rest the "instruments" are techniques of a sampled one, or players that take turns.
    """
    turns: list[tuple[int, str]] = []
    reached = -1
    for note, names in zip(notes, owners, strict=True):
        if len(names) > 1:
            return None
        if not turns or turns[-1][1] != names[0]:
            if note.onset <= reached:
                return None
            turns.append((note.onset, names[0]))
        reached = max(reached, note.end)
    return turns
