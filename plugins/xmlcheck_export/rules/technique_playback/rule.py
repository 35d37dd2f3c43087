"""Techniques that only the playback data tell."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from xmlcheck.plugin import Direction, Grade, Hit, Hits, Part, ScoreFacts, rule, says
from xmlcheck_export.words import BEGINS, ENDS, PLAIN, near

LONGEST = 40
"""Letters from which on a text is an explanation."""


@rule
def technique_playback(score: ScoreFacts) -> Hits:
    """One hit for each change of technique in the playback that has no word within a quarter note.

    The other way round it is tidied, and only in a file whose playback tells other pizzicati: most files leave it to the player.
    """
    quarter = score.score.resolution
    plays = any(
        item.sound is not None and item.sound.get("pizzicato") for part in score.score.parts for item in part.directions
    )
    for part in score.score.parts:
        changes = list(_changes(part))
        for direction, technique, word, words in changes:
            texts = near(part.directions, direction.sound_at - quarter, direction.sound_at + quarter)
            if not any(says(item.words, words) for item in texts):
                told = f"Playback goes over to {technique} here, and no word says so"
                values = {"technique": technique, "word": word, "told": told, "missing": "no word"}
                yield Hit(at=(direction,), values=values, part=part.id)
        ticks = sorted(item.sound_at for item, technique, _, _ in changes if technique == "pizzicato")
        for direction in _unheard(part) if plays else ():
            if bisect_left(ticks, direction.onset - quarter) == bisect_right(ticks, direction.onset + quarter):
                told = "The word says pizzicato here, and playback, which has it elsewhere, does not"
                values = {"technique": "pizzicato", "word": "pizz.", "told": told, "missing": "no playback"}
                yield Hit(at=(direction,), values=values, part=part.id, grade=Grade.TIDY)


def _unheard(part: Part) -> Iterator[Direction]:
    """Words that begin pizzicato while the playback is bowed."""
    plucked = False
    for direction in part.directions:
        if direction.sound is not None and direction.sound.get("pizzicato"):
            plucked = direction.sound.get("pizzicato") == "yes"
        if not plucked and len(direction.words) <= LONGEST and says(direction.words, BEGINS["pizzicato"]):
            yield direction


def _changes(part: Part) -> Iterator[tuple[Direction, str, str, tuple[str, ...]]]:
    """Changes in playback data: the direction, what it goes over to, the word for it, and all words that tell it."""
    plucked, mute = "no", "off"
    for direction in part.directions:
        if direction.sound is None:
            continue
        pizzicato = direction.sound.get("pizzicato")
        if pizzicato and pizzicato != plucked:
            plucked = pizzicato
            if pizzicato == "yes":
                yield direction, "pizzicato", "pizz.", BEGINS["pizzicato"]
            else:
                yield direction, "arco", "arco", (*ENDS["pizzicato"], *PLAIN)
        for name, value in direction.sound.plays:
            if name == "mute" and value != mute:
                mute = value
                if value == "off":
                    yield direction, "playing without mute", "open or senza sord.", (*ENDS["con sordino"], *PLAIN)
                else:
                    said = "mute" if value == "on" else f"{value} mute"
                    yield direction, f"a {said}", said, (*BEGINS["con sordino"], value, said)
