"""A <transpose> by an interval that no reading convention of the instrument has."""

import re

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule
from xmlcheck_basics.transposing import number

_CHANGE = re.compile(r"\b(?:muta|mutano|to|in|nimmt|nehmen|wechselt|prend|prenez|change|cambia)\b", re.IGNORECASE)
"""Words that announce another instrument or crook (common practice, no source)."""


@rule
def unusual(chair: Chair, reading: Reading) -> Hits:
    """One hit for each <transpose> whose interval, octaves included, no convention has.

    Its mirror image is another rule's business, and a change inside the part that words announce is the player's.
    """
    amounts = {convention.semitones for convention in reading.conventions}
    since = 0
    for given in chair.part.transposes:
        announced = any(since <= item.onset <= given.onset and _CHANGE.search(item.words) for item in chair.directions)
        since = given.onset
        usual = given.semitones == 0 or given.semitones in amounts or -given.semitones in amounts
        if given.for_part or usual or (given.onset and announced):
            continue
        expected = [number(amount) for amount in sorted(amounts)]
        yield Hit(at=(given,), values={"given": number(given.semitones), "expected": expected}, rests_on=reading.conventions)
