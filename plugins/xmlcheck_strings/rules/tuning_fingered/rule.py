"""Retuned parts that can be played in one reading only: as sounding pitches, or as fingered on the usual strings."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.facets import Strings
from xmlcheck_strings.stringing import Stringing


@rule
def fingered(strings: Strings, stringing: Stringing) -> Hits:
    """One hit for the part, at the first change of the tuning, where the notes read as sounding fail and as fingered do not."""
    sounding, as_fingered = stringing.failures
    if not stringing.fingered or as_fingered or not sounding:
        return
    first = next(event for event in stringing.events if event.pitches != stringing.usual)
    failing = f"{sounding} place{'s' if sounding > 1 else ''}"
    tuning = " ".join(pitch.name for pitch in first.pitches)
    yield Hit(at=(first.at,), values={"tuning": tuning, "failing": failing}, rests_on=tuple(strings.courses))
