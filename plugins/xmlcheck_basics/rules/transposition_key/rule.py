"""A transposed part under the concert key signature."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_basics.derived import ConcertKey, fifths_moved
from xmlcheck_basics.transposing import number, same_key


@rule
def key(chair: Chair, concert: ConcertKey) -> Hits:
    """One hit for each key signature that equals the concert key although the transposition moves keys.

    No sharps or flats over a transposed part is older custom and silent.
    """
    if chair.facts.score.concert:
        return
    for signature in chair.part.keys:
        fifths, expected = signature.fifths, concert.at(signature.onset)
        given = chair.transpose_at(signature.onset, signature.staff or 1)
        if given is None or given.diatonic is None or not fifths or expected is None or fifths != expected:
            continue
        moved = fifths_moved(given.chromatic, given.diatonic)
        if not same_key(moved, 0):
            values = {"given": number(given.semitones), "written_key": fifths, "expected_key": fifths - moved}
            yield Hit(at=(signature,), values=values)
