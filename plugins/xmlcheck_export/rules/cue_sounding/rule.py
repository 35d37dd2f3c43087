"""Cue notes whose cue mark was lost on the way: claimed, so that no other rule takes them for this player's music."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import takewhile

from xmlcheck.plugin import SMALL, Chair, Direction, Hit, Hits, Note, Part, folded, rule
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
    for direction in chair.directions:
        words = direction.words
        if not words or len(words) > LONGEST:
            continue
        source, other = _named(words, chair)
        if not source:
            continue
        stretch = _stretch(chair, direction)
        small = [note for note in stretch if note.flags & SMALL]
        if small:
            yield from (_hit(note, words, "small notes") for note in small)
        elif other is not None and direction.measure - 1 not in busy:
            yield from (_hit(note, words, f"the same notes as {heading(other)}") for note in _same(stretch, other))


def _hit(note: Note, words: str, told: str) -> Hit:
    return Hit(at=(note,), values={"source": words.strip("()[] "), "told": told})


def _named(words: str, chair: Chair) -> tuple[bool, Part | None]:
    """Whether a text says whose cue this is, and that part where it is in the score."""
    text = folded(words.strip("()[]:. "))
    for part in chair.facts.score.parts:
        names = {folded(name).strip(". ") for name in (part.name, part.display_name, part.abbreviation) if name}
        if part is not chair.part and text.strip(". ") in names:
            return True, part
    return bool(_CUE.search(words) or _IN_BRACKETS.match(words)), None


def _stretch(chair: Chair, direction: Direction) -> list[Note]:
    """The notes from the text to the end of the run: the first bar without notes."""
    return list(_run(chair, direction))


def _run(chair: Chair, direction: Direction) -> Iterator[Note]:
    bar = direction.measure
    for note in chair.notes:
        if note.onset < direction.onset or note.cue or note.grace or note.hidden:
            continue
        if note.measure > bar + 1:
            return
        bar = note.measure
        yield note


def _same(stretch: list[Note], other: Part) -> list[Note]:
    """The notes at the start of the run that repeat those of another part, in any octave; none where they are too few."""
    there = {(note.onset, note.sounding.cents % 1200) for note in other.notes if note.sounding is not None and real(note)}
    own = takewhile(
        lambda note: note.sounding is not None and (note.onset, note.sounding.cents % 1200) in there,
        stretch,
    )
    found = list(own)
    return found if len(found) >= FEWEST else []
