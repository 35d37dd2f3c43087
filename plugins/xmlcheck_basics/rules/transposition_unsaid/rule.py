"""A transposing instrument's part that gives no transposition, where the key signatures do not prove that it was lost."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, Reading, rule
from xmlcheck_basics.derived import ConcertKey, fifths_moved
from xmlcheck_basics.transposing import first_fifths, number, same_key, silent, usual


@rule
def unsaid(chair: Chair, reading: Reading, concert: ConcertKey) -> Hits:
    """One hit for a silent part, unless its key proves that the transposition was lost; tidy where its key is the concert key."""
    convention, fifths = usual(reading), first_fifths(chair)
    if convention is None or not silent(chair):
        return
    moved = fifths_moved(convention.chromatic, convention.diatonic)
    expected, values = concert.at(0), {"interval": number(convention.semitones), "concert_key": None}
    if fifths is None or expected is None or (fifths == 0 and expected == 0):
        yield Hit(values=values, rests_on=(convention,))
    elif not same_key(fifths + moved, expected):
        in_concert = same_key(fifths, expected)
        values["concert_key"] = expected if in_concert else None
        yield Hit(values=values, rests_on=(convention,), grade=Grade.TIDY if in_concert else None)
