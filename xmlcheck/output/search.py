"""Instruments by what they can do: by family, tradition, compass, technique, and notes at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

from xmlcheck.cited import Cited
from xmlcheck.entry import Entry
from xmlcheck.facets import Compass, Polyphony, Techniques
from xmlcheck.folding import fold
from xmlcheck.pitch import Pitch
from xmlcheck.profile import Profile
from xmlcheck.shelf import Shelf

TOGETHER = ("at_once", "swept")
"""Keys under which a facet says how many notes begin together: exactly, or swept."""
HANDS = ("bow", "plucking", "hammers", "mallets", "keyboard")
"""Facets, by their keys, in which those keys count notes."""
FINGERS = "picks"
"""The facet that counts the notes of each hand, as `right` and `left`."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked for; all that is given must hold. covers: lowest and highest sounding note, both inside the compass."""

    text: str = ""
    family: str = ""
    tradition: str = ""
    covers: tuple[Pitch, Pitch] | None = None
    technique: str = ""
    at_once: int = 0

    @property
    def needs_profile(self) -> bool:
        """Whether the names alone do not answer."""
        return bool(self.tradition or self.covers or self.technique or self.at_once)


def search(shelf: Shelf, wanted: Wanted) -> Iterator[tuple[Entry, str]]:
    """Every instrument that has all that is wanted, with a remark on how; an empty remark where there is none. By id."""
    for id, entry in sorted(shelf.entries.items()):
        if not _named(entry, wanted):
            continue
        if not wanted.needs_profile:
            yield entry, ""
            continue
        remark = _remark(shelf.profile(id), wanted)
        if remark is not None:
            yield entry, remark


def _named(entry: Entry, wanted: Wanted) -> bool:
    text, family = fold(wanted.text), fold(wanted.family)
    words = (entry.id, entry.family, *entry.names.values(), *entry.aliases)
    return (not text or any(text in fold(word) for word in words)) and (not family or family in fold(entry.family))


def _remark(profile: Profile, wanted: Wanted) -> str | None:
    """How the instrument has what is wanted; None where it has not."""
    told = []
    if wanted.tradition and fold(wanted.tradition) not in fold(profile.tradition):
        return None
    if wanted.covers is not None:
        reach = covers(profile, *wanted.covers)
        if reach is None:
            return None
        told.append(reach)
    if wanted.technique:
        found = technique(profile, wanted.technique)
        if found is None:
            return None
        told.append(found)
    if wanted.at_once:
        most = together(profile)
        if most is None or most < wanted.at_once:
            return None
        told.append(f"{most} at once")
    return "; ".join(told)


def covers(profile: Profile, low: Pitch, high: Pitch) -> str | None:
    """How the compass holds both notes: comfortably, or at its ends; None where it does not or is not known."""
    compass = profile.get(Compass)
    if compass is None or low.cents < compass.lowest.value.cents or high.cents > compass.highest.value.cents:
        return None
    bottom, top = compass.comfortable_lowest or compass.lowest, compass.comfortable_highest or compass.highest
    told = f"{compass.lowest.value} to {compass.highest.value}"
    return told if bottom.value.cents <= low.cents and high.cents <= top.value.cents else f"{told}, not all of it comfortable"


def technique(profile: Profile, word: str) -> str | None:
    """The title of a technique that this word asks for: its id, one of its words or signs, or a word of its title."""
    from xmlcheck.facts.words import says  # and with it much of what a check needs

    techniques = profile.get(Techniques)
    for item in techniques.has if techniques is not None else ():
        if word == item.id or word in item.marks or fold(word) in map(fold, item.words) or says(item.title, (word,)):
            return item.title
    return None


def together(profile: Profile) -> int | None:
    """Most notes that one player begins together, by the tightest facet that says so; None where none does."""
    found = []
    for facet in (profile.facets[key] for key in HANDS if key in profile.facets):
        values = [getattr(facet, item.name) for item in fields(facet) if item.name in TOGETHER]
        counts = [value.value for value in values if isinstance(value, Cited)]
        if counts:
            found.append(max(counts))
    each = [getattr(profile.facets.get(FINGERS), hand, None) for hand in ("right", "left")]
    if all(isinstance(count, Cited) for count in each):
        found.append(sum(count.value for count in each if count is not None))
    polyphony = profile.get(Polyphony)
    return min(found) if found else polyphony.at_once.value if polyphony is not None else None
