"""Notes that no partial, valve or slide position gives."""

from xmlcheck.plugin import Chair, Compass, Grade, Hit, Hits, rule
from xmlcheck_basics.derived import ReadAs
from xmlcheck_brass.facets import Brass
from xmlcheck_brass.tubes import attached, spots

MEANS = {"valves": "the valves", "slide": "the slide", "natural": "the lips alone"}


@rule
def partial(
    chair: Chair, brass: Brass, compass: Compass, read: ReadAs, tolerance: float = 0.4, natural_tolerance: float = 0.6
) -> Hits:
    """One hit for each tone inside the compass that lies on no partial, whatever is added. Microtones are left to the lips.

    What an attachment alone gives is a query: not every instrument has one.

    On natural instruments the lips bend the partials between (tolerance in semitones, ours) and a hand gives more: a query.
    """
    natural = brass.kind.value == "natural"
    low, high = compass.lowest.value.cents, compass.highest.value.cents
    means, reach = MEANS[brass.kind.value], natural_tolerance if natural else tolerance
    for tone in chair.tones:
        cents = read.height(tone)
        if tone.harmonic or not low <= cents <= high or cents % 100:
            continue
        optional = attached(brass, cents)
        if spots(brass, cents, reach) and not optional:
            continue
        tube = next((side.title for side in brass.sides if side.optional), None) if optional else None
        values = {"note": tone.sounding.name, "means": means, "tube": tube}
        grade = Grade.QUERY if natural or optional else read.cap
        yield Hit(at=(tone,), values=values, rests_on=brass.sides, grade=grade, group=tube or "")
