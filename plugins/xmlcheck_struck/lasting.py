"""Where words or signs make a struck note last: a roll, a bow, or l.v. where ringing out is meant."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from operator import itemgetter

from xmlcheck.plugin import Chair, Techniques, Tone, says
from xmlcheck_struck.facets import Ring
from xmlcheck_struck.striking import rolled


@dataclass(frozen=True)
class Lasting:
    """changes: (tick, whether the words there make notes last). marks: signs on a note that do."""

    changes: tuple[tuple[int, bool], ...]
    marks: tuple[str, ...]

    def __call__(self, tone: Tone, rings: bool = True) -> bool:
        """Whether this tone is made to last. rings: whether to let it ring out counts as well."""
        if rolled(tone) or tone.has("fermata", *self.marks):
            return True
        if rings and any(note.tied("let-ring") for note in tone.notes):
            return True
        index = bisect_right(self.changes, tone.onset, key=itemgetter(0))
        return index > 0 and self.changes[index - 1][1]


def lasting(chair: Chair, ring: Ring, techniques: Techniques | None) -> Lasting:
    """By the profile's own words for what sustains; a word holds until one of another technique or of its end comes."""
    ids = set(ring.sustains.value) if ring.sustains is not None else set()
    items = techniques.has if techniques is not None else ()
    mine = [item for item in items if item.id in ids]
    changes = []
    for direction in chair.directions:
        words = direction.words
        if not words:
            continue
        own = any(says(words, item.words) for item in mine if item.words)
        ends = any(says(words, item.cancels) for item in mine if item.cancels)
        if own or ends or any(says(words, item.words) for item in items if item.words):
            changes.append((direction.onset, own))
    marks = tuple(mark for item in mine for mark in item.marks)
    return Lasting(tuple(changes), marks)
