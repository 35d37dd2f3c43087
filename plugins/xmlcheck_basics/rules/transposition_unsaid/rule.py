"""A transposing instrument's part that gives no transposition, where the key signatures do not prove that it was lost."""

from xmlcheck.plugin import Chair, Hit, Hits, Reading, rule
from xmlcheck_basics.derived import ConcertKey, fifths_moved
from xmlcheck_basics.transposing import first_fifths, silent, usual


@rule
def unsaid(chair: Chair, reading: Reading, concert: ConcertKey) -> Hits:
    """One hit for a silent part, unless its key already proves that the transposition was lost."""
    convention, fifths = usual(reading), first_fifths(chair)
    if convention is None or not silent(chair):
        return
    moved = fifths_moved(convention.chromatic, convention.diatonic)
    if fifths is not None and concert.fifths is not None and moved and fifths + moved == concert.fifths:
        return
    yield Hit(values={"interval": convention.semitones}, rests_on=(convention,))
