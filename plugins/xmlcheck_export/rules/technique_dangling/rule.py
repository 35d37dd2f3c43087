"""Words that end a technique which nothing has begun."""

from __future__ import annotations

from xmlcheck.plugin import Hit, Hits, Part, ScoreFacts, rule, says
from xmlcheck_export.names import heading, split
from xmlcheck_export.words import BEGINS, ENDS

ARCO = ENDS["pizzicato"]
BOW = (
    "d'arco",
    "punta d'arco",
    "punta dell'arco",
    "coll'arco",
    "l'arco",
    "molto arco",
    "tutto arco",
    "poco arco",
    "mezzo arco",
)
"""Phrases about the bow that end nothing."""
OFF = tuple(word for word in ENDS["con sordino"] if word != "open")
_BEGUN = {ARCO: (*BEGINS["pizzicato"], *BEGINS["col legno"]), OFF: BEGINS["con sordino"]}


@rule
def technique_dangling(score: ScoreFacts, longest: int = 40) -> Hits:
    """One hit for the first cancel in a part that stands after its first notes and before any word that begins the technique."""
    for part in score.score.parts:
        if part.notes and not split(heading(part))[1]:  # a track of one technique has its cancels in other tracks
            yield from _part(part, longest)


def _part(part: Part, longest: int) -> Hits:
    first = part.notes[0].onset
    begun: set[tuple[str, ...]] = set()
    for direction in part.directions:
        words = direction.words
        signs = {mark.name for mark in direction.marks}
        sound = direction.sound
        if signs & {"string-mute"} or (sound is not None and any(name == "mute" for name, _ in sound.plays)):
            begun.add(OFF)
        if sound is not None and sound.get("pizzicato") == "yes":
            begun.add(ARCO)
        if not words:
            continue
        for cancels, starts in _BEGUN.items():
            ends = says(words, cancels) and not says(words, BOW)
            if says(words, starts) and not (ends and cancels is OFF):
                begun.add(cancels)
            elif ends and cancels not in begun and len(words) <= longest:
                begun.add(cancels)
                if direction.onset > first:
                    yield Hit(at=(direction,), values={"word": words}, part=part.id)
