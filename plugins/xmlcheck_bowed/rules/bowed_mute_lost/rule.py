"""Mutes that go on although they are on."""

from xmlcheck.plugin import Chair, Hit, Hits, Techniques, rule
from xmlcheck_bowed.words import MUTES, changes, technique


@rule
def mute_lost(chair: Chair, techniques: Techniques) -> Hits:
    """One hit for each second mention that is no bracketed reminder, at least a bar after the one before."""
    mute = technique(techniques, MUTES)
    if mute is None:
        return
    places = chair.facts.places(chair.part)
    for change in changes(chair, mute):
        if not change.on or change.since is None or change.at.words.lstrip().startswith(("(", "[")):
            continue
        if change.at.measure > change.since.measure:
            values = {"words": change.at.words, "since": places.bars[change.since.measure]}
            yield Hit(at=(change.at,), values=values, rests_on=(mute,))
