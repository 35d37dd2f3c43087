"""Glissandos where there is no slide, or none so wide."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_winds.derived import Lines, slides
from xmlcheck_winds.facets import Fingering


@rule
def slide(chair: Chair, fingering: Fingering, melody: Lines) -> Hits:
    """One hit for each glissando or slide between two notes that is wider than the profile's."""
    limit = fingering.slide
    if limit is None:
        return
    for line in melody.lines:
        for start, end in slides(line):
            asked = abs(end.cents - start.cents) / 100
            if asked > limit.value + 0.4:
                can = f"{limit.value:g} semitones at most" if limit.value else "none"
                yield Hit(at=(start.tone, end.tone), values={"asked": asked, "can": can}, rests_on=(limit,))
