"""A <transpose> whose sign is opposite to the instrument's."""

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule
from xmlcheck_basics.transposing import given, number


@rule
def reversed_sign(chair: Chair, reading: Reading) -> Hits:
    """One hit for each <transpose> that is the mirror of a convention and matches none."""
    amounts = {convention.semitones: convention for convention in reading.conventions}
    for item in given(chair):
        mirrored = amounts.get(-item.semitones)
        if item.semitones == 0 or item.semitones in amounts or mirrored is None:
            continue
        values = {"given": number(item.semitones), "expected": number(mirrored.semitones)}
        yield Hit(at=(item,), values=values, rests_on=(mirrored,))
