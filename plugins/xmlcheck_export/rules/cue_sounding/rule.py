"""Cue notes whose cue mark was lost on the way: claimed, so that no other rule takes them for this player's music."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from itertools import pairwise, takewhile

from xmlcheck.plugin import CUE, GRACE, HIDDEN, SMALL, Chair, Direction, Hit, Hits, Note, Part, ScoreFacts, folded, rule
from xmlcheck_export.names import heading
from xmlcheck_export.values import real

LONGEST = 40
"""Letters of a text that names another player."""
FEWEST = 3
_CUE = re.compile(r"(?<!\w)(?:cues?|stichnoten|réplique|guida)(?!\w)", re.IGNORECASE)
_IN_BRACKETS = re.compile(r"\A\s*[(\[][^)\]]{2,}[)\]]\s*\Z")


@rule
def cue_sounding(chair: Chair) -> Hits:
    """One hit for each such note: small ones under another player's name, or full-size ones that repeat that player's notes."""
    busy = {note.measure for note in chair.notes if real(note)}
    heads = _Heads(chair)
    for direction in chair.directions:
        words = direction.words
        if not words or len(words) > LONGEST:
            continue
        source, other = _named(words, chair)
        if not source:
            continue
        first, end = heads.run(direction)
        small = heads.small(first, end)
        if small:
            yield from (_hit(note, words, "small notes") for note in small)
        elif other is not None and direction.measure - 1 not in busy:
            same = _same(heads.notes[first:end], chair.facts.once(_there, other))
            yield from (_hit(note, words, f"the same notes as {heading(other)}") for note in same)


def _hit(note: Note, words: str, told: str) -> Hit:
    return Hit(at=(note,), values={"source": words.strip("()[] "), "told": told})


def _named(words: str, chair: Chair) -> tuple[bool, Part | None]:
    """Whether a text says whose cue this is, and that part where it is in the score."""
    text = folded(words.strip("()[]:. "))
    for part in chair.facts.once(_by_name).get(text.strip(". "), ()):
        if part is not chair.part:
            return True, part
    return bool(_CUE.search(words) or _IN_BRACKETS.match(words)), None


def _by_name(score: ScoreFacts) -> dict[str, list[Part]]:
    """The parts by each of their names."""
    found: dict[str, list[Part]] = {}
    for part in score.score.parts:
        for name in {folded(name).strip(". ") for name in (part.name, part.display_name, part.abbreviation) if name}:
            found.setdefault(name, []).append(part)
    return found


class _Heads:
    """The notes of a chair that could be cues, cut into runs: a run ends before a bar without notes."""

    def __init__(self, chair: Chair) -> None:
        self.notes = [note for note in chair.notes if not note.flags & (CUE | GRACE | HIDDEN)]
        self._small = [index for index, note in enumerate(self.notes) if note.flags & SMALL]
        pairs = enumerate(pairwise(self.notes), 1)
        self._ends = [index for index, (before, note) in pairs if note.measure > before.measure + 1] + [len(self.notes)]

    def run(self, direction: Direction) -> tuple[int, int]:
        """From the text to the end of its run: the first index, and the one after the last."""
        first = bisect_left(self.notes, direction.onset, key=lambda note: note.onset)
        if first == len(self.notes) or self.notes[first].measure > direction.measure + 1:
            return first, first
        return first, self._ends[bisect_right(self._ends, first)]

    def small(self, first: int, end: int) -> list[Note]:
        """The small notes among them."""
        return [self.notes[index] for index in self._small[bisect_left(self._small, first) : bisect_left(self._small, end)]]


def _there(_: ScoreFacts, part: Part) -> set[tuple[int, int]]:
    """Onset and pitch class in cents of a part's notes."""
    return {(note.onset, note.sounding.cents % 1200) for note in part.notes if note.sounding is not None and real(note)}


def _same(stretch: list[Note], there: set[tuple[int, int]]) -> list[Note]:
    """The notes at the start of the run that repeat those of another part, in any octave; none where they are too few."""
    own = takewhile(
        lambda note: note.sounding is not None and (note.onset, note.sounding.cents % 1200) in there,
        stretch,
    )
    found = list(own)
    return found if len(found) >= FEWEST else []
