"""Microtones that stand on the page and not in the pitches."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, Key, Part, ScoreFacts, rule
from xmlcheck_export.printed import MICROTONAL, OF_TRADITIONS, OTHER_UNIT

_SIGNS = frozenset((*MICROTONAL, *OF_TRADITIONS))


@rule
def microtone_lost(score: ScoreFacts) -> Hits:
    """One hit for each microtonal sign on a whole alteration, and one for a key signature with decimals that no note follows."""
    for part in score.score.parts:
        for note in part.notes:
            if note.sign not in _SIGNS or note.written is None or abs(note.written.alter) >= OTHER_UNIT:
                continue
            if not note.written.alter % 1:
                yield Hit(at=(note,), values={"sign": note.sign.replace("-", " ")}, part=part.id)
        for key in part.keys:
            if any(alter % 1 for _, alter, _ in key.alters) and not _followed(part, key):
                signs = [sign.replace("-", " ") for _, alter, sign in key.alters if alter % 1]
                yield Hit(
                    at=(key,), values={"sign": f"a signature of {', '.join(filter(None, signs)) or 'microtones'}"}, part=part.id
                )


def _followed(part: Part, key: Key) -> bool:
    """Whether some note on a letter of the signature has a decimal alteration, or no note stands on one."""
    letters = {step for step, alter, _ in key.alters if alter % 1}
    on = [
        note.written
        for note in part.notes
        if note.onset >= key.onset and note.written is not None and note.written.step in letters
    ]
    return not on or any(written.alter % 1 for written in on)
