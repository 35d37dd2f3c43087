"""Changes of technique that only the trigger notes of the patch tell."""

from __future__ import annotations

from bisect import bisect_left

from xmlcheck.plugin import Chair, Hit, Hits, rule, says
from xmlcheck_export.derived import Triggers
from xmlcheck_export.names import ORDINARY, technique_of
from xmlcheck_export.words import BEGINS, ENDS, PLAIN, near


@rule
def trigger_word(chair: Chair, triggers: Triggers) -> Hits:
    """One hit for each listed trigger that changes the technique where no word does.

    A word counts from a quarter note before the trigger up to the first note that it is for. A trigger that works only while
    it is held is over at its end.
    """
    if not triggers.named:
        return
    own = {tone for tone, _ in triggers.named}
    onsets = sorted(tone.onset for tone in chair.tones if tone not in own)
    before, until = "", None
    for tone, named in triggers.named:
        if until is not None and tone.onset > until:
            before = ""
        words = _needed(named.technique, before)
        index = bisect_left(onsets, tone.onset)
        last = onsets[index] if index < len(onsets) else tone.end
        texts = near(chair.directions, tone.onset - chair.facts.score.resolution, last)
        if words and not any(says(item.words, words) for item in texts):
            yield Hit(at=(tone,), values={"technique": named.technique, "pitch": tone.sounding.name})
        before, until = named.technique, tone.end if triggers.held else None


def _needed(technique: str, before: str) -> tuple[str, ...]:
    """The words of which one tells this change; empty where none is needed."""
    name = technique_of(technique) or technique
    old = technique_of(before) or before
    if name == old:
        return ()
    if name in ORDINARY or technique.casefold().rstrip(".") in PLAIN:
        return (*ENDS.get(old, ()), *PLAIN) if old in ENDS else ()
    return (*BEGINS.get(name, ()), technique)
