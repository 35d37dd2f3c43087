"""Notes that are read as another pitch than they sound, by signs and key signature."""

from __future__ import annotations

from dataclasses import replace

from xmlcheck.plugin import Hit, Hits, Part, ScoreFacts, rule
from xmlcheck_export.printed import HALF, Read, readings
from xmlcheck_export.values import unclaimed


@rule
def accidental_missing(score: ScoreFacts, most: float = 0.05) -> Hits:
    """One hit for each note without a sign that sounds at least a quarter-tone off what is read.

    Silent in a file that prints fewer than twice as many right signs as it leaves out, and in a part of which more than `most`
    of the notes would be named: such files leave the signs to the program that opens them.
    """
    if "accidental" in score.score.absent:
        return
    parts = [(part, list(readings(part, unclaimed(score, part)))) for part in score.score.parts]
    signs = sum(bool(item.note.sign) and item.shown is not None for _, reads in parts for item in reads)
    misses = [(part, reads, [item for item in reads if _differs(item)]) for part, reads in parts]
    if 2 * sum(len(found) for _, _, found in misses) > signs:
        return
    for part, reads, found in misses:
        if len(found) <= max(most * len(reads), 1):
            yield from (_hit(item, part) for item in found)


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
