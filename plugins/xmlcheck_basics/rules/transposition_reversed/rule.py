"""A <transpose> whose sign is opposite to the instrument's."""

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule
from xmlcheck_basics.transposing import number


@rule
def reversed_sign(chair: Chair, reading: Reading) -> Hits:
    """One hit for each <transpose> that is the mirror of a convention and matches none."""
    amounts = {convention.semitones: convention for convention in reading.conventions}
    for given in chair.part.transposes:
        mirrored = amounts.get(-given.semitones)
        if given.for_part or given.semitones == 0 or given.semitones in amounts or mirrored is None:
            continue
        values = {"given": number(given.semitones), "expected": number(mirrored.semitones)}
        yield Hit(at=(given,), values=values, rests_on=(mirrored,))
