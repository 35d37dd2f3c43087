"""A transposed part under the concert key signature."""

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_basics.derived import ConcertKey, fifths_moved
from xmlcheck_basics.transposing import first_fifths


@rule
def key(chair: Chair, concert: ConcertKey) -> Hits:
    """One hit where the first key equals the concert key although the transposition moves keys. No sharps or flats is custom."""
    fifths = first_fifths(chair)
    given = next((item for item in chair.part.transposes if not item.for_part), None)
    if given is None or given.diatonic is None or chair.facts.score.concert or not fifths or fifths != concert.fifths:
        return
    moved = fifths_moved(given.chromatic, given.diatonic)
    if moved % 12:
        values = {"given": f"{given.semitones:+}", "written_key": f"{fifths:+d}", "expected_key": f"{fifths - moved:+d}"}
        yield Hit(values=values)
