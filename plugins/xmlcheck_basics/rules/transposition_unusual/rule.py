"""A <transpose> by an interval that no reading convention of the instrument has."""

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule


@rule
def unusual(chair: Chair, reading: Reading) -> Hits:
    """One hit for each <transpose> whose interval, octaves aside, no convention has; its mirror image is another rule's business."""
    conventions = reading.conventions
    classes = {convention.chromatic % 12 for convention in conventions} | {0}
    amounts = {convention.semitones for convention in conventions}
    for given in chair.part.transposes:
        if given.for_part or given.chromatic % 12 in classes or -given.semitones in amounts:
            continue
        expected = sorted({f"{amount:+}" for amount in amounts})
        yield Hit(at=(given,), values={"given": f"{given.semitones:+}", "expected": expected}, rests_on=conventions)
