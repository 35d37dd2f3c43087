"""Slide glissandos between notes on no common partial."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_brass.facets import Brass
from xmlcheck_brass.tubes import shared, spots
from xmlcheck_winds.derived import Lines, slides


@rule
def glissando(chair: Chair, brass: Brass, melody: Lines, most_semitones: int = 2) -> Hits:
    """One hit for each glissando of more than `most_semitones` (lips bend so far) that no partial holds. Slide instruments only."""
    if brass.kind.value != "slide":
        return
    for line in melody.lines:
        for start, end in slides(line):
            low, high = sorted((start, end), key=lambda step: step.cents)
            if high.cents - low.cents <= 100 * most_semitones or not (spots(brass, low.cents) and spots(brass, high.cents)):
                continue
            if not shared(brass, low.cents, high.cents):
                values = {"lower": low.tone.sounding.name, "upper": high.tone.sounding.name}
                yield Hit(at=(start.tone, end.tone), values=values, rests_on=(brass.kind, *brass.sides))
