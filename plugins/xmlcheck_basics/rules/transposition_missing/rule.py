"""A transposing instrument's part whose key is transposed and whose <transpose> is gone."""

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule
from xmlcheck_basics.derived import ConcertKey, fifths_moved
from xmlcheck_basics.transposing import first_fifths, number, same_key, silent, usual


@rule
def missing(chair: Chair, reading: Reading, concert: ConcertKey) -> Hits:
    """One hit where the part's key differs from the other parts' by just the instrument's transposition."""
    convention, fifths = usual(reading), first_fifths(chair)
    expected = concert.at(0)
    if convention is None or not silent(chair) or fifths is None or expected is None:
        return
    moved = fifths_moved(convention.chromatic, convention.diatonic)
    if moved and same_key(fifths + moved, expected):
        values = {"written_key": fifths, "concert_key": expected, "interval": number(convention.semitones)}
        yield Hit(values=values, rests_on=(convention,))
