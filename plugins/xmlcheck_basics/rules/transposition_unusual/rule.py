"""A <transpose> by an interval that no reading convention of the instrument has."""

import re
from bisect import bisect_left, bisect_right

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule
from xmlcheck_basics.transposing import given, number

_CHANGE = re.compile(r"\b(?:muta|mutano|to|in|nimmt|nehmen|wechselt|prend|prenez|change|cambia)\b", re.IGNORECASE)
"""Words that announce another instrument or crook (common practice, no source)."""


@rule
def unusual(chair: Chair, reading: Reading) -> Hits:
    """One hit for each <transpose> whose interval, octaves included, no convention has.

    Its mirror image is another rule's business, and a change inside the part that words announce is the player's; those with
    which the chair itself begins have named its instrument.
    """
    amounts = {convention.semitones for convention in reading.conventions}
    since, start = 0, chair.seat.start
    told = [item.onset for item in chair.directions if (item.onset > start or not start) and _CHANGE.search(item.words)]
    for item in given(chair):
        announced = bisect_left(told, since) < bisect_right(told, item.onset)
        since = item.onset
        usual = item.semitones == 0 or item.semitones in amounts or -item.semitones in amounts
        if usual or (item.onset and announced):
            continue
        expected = [number(amount) for amount in sorted(amounts)]
        yield Hit(at=(item,), values={"given": number(item.semitones), "expected": expected}, rests_on=reading.conventions)
