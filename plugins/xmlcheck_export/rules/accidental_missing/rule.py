"""Notes that are read as another pitch than they sound, by signs and key signature."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from xmlcheck.plugin import Hit, Hits, Note, Part, ScoreFacts, rule
from xmlcheck_export.printed import HALF, Read, by_key_alone, readings
from xmlcheck_export.values import unclaimed


@rule
def accidental_missing(score: ScoreFacts, most: float = 0.05) -> Hits:
    """One hit for each note without a sign that sounds at least a quarter-tone off what is read.

    Silent in a file that prints fewer than twice as many right signs as it leaves out, and in a part of which more than `most`
    of the notes would be named: such files leave the signs to the program that opens them.
    """
    if "accidental" in score.score.absent:
        return
    parts = [_read(part, unclaimed(score, part)) for part in score.score.parts]
    signs = sum(one.signs for one in parts)
    if 2 * sum(len(one.misses) for one in parts) > signs:
        return
    for one in parts:
        if len(one.misses) <= max(most * one.notes, 1):
            yield from (_hit(item, one.part) for item in one.misses)


class _Part(NamedTuple):
    """What was read of a part: how many notes, how many signs that say something, and the notes whose sign is missing."""

    part: Part
    notes: int
    signs: int
    misses: list[Read]


def _read(part: Part, notes: tuple[Note, ...]) -> _Part:
    signed = {note.measure for note in notes if note.sign}
    reads = list(readings(part, [note for note in notes if note.measure in signed]))
    misses = [item for item in reads if _differs(item)]
    count = len(reads)
    for note, shown in by_key_alone(part, [note for note in notes if note.measure not in signed]):
        count += 1
        if note.written is not None and note.written.alter != shown and _differs(item := Read(note, shown, None)):
            misses.append(item)
    misses.sort(key=lambda item: (item.note.measure, item.note.onset, not item.note.grace))
    return _Part(part, count, sum(bool(item.note.sign) and item.shown is not None for item in reads), misses)


def _hit(item: Read, part: Part) -> Hit:
    written, since = item.note.written, item.since
    values = {
        "shown": replace(written, alter=item.shown).name if written is not None and item.shown is not None else "",
        "sounds": written.name if written is not None else "",
        "since": since.sign.replace("-", " ") if since is not None else None,
    }
    return Hit(at=(item.note,), values=values, part=part.id)


def _differs(item: Read) -> bool:
    note, shown = item.note, item.shown
    if note.sign or shown is None or note.written is None or note.written.alter == shown:
        return False
    return abs(note.written.alter - shown) >= HALF
