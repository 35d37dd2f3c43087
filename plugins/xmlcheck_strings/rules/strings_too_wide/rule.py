"""Chords whose stopped notes lie further apart than one hand spreads."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.derived import Chords
from xmlcheck_strings.facets import Fingerboard, Hand
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import open_strings, shape_name, ways_out


@rule
def too_wide(chords: Chords, hand: Hand, fingerboard: Fingerboard, stringing: Stringing) -> Hits:
    """One hit for each chord wider than the widest stretch. A query where it may be divided, or is rolled. A stretch given in
    semitones of the lowest position is compared on the same string: the string's length falls out of the verdict."""
    in_mm = hand.stretch_mm or hand.reach_mm
    limit = (in_mm, fingerboard.scale_mm) if in_mm else (hand.stretch_semitones or hand.reach_semitones,)
    used = tuple(item for item in limit if item is not None)
    for chord in chords.chords:
        grip = chord.board.neck.grip
        if chord.shape is None or not chord.shape.wide or grip is None:
            continue
        open = open_strings(stringing, chord.onset)
        values = {
            "span_mm": round(chord.shape.span_mm),
            "limit_mm": round(grip.stretch_mm),
            "closest": shape_name(open, chord.shape),
        }
        yield Hit(at=chord.at, values=values, rests_on=used, grade=chord.cap, alternatives=ways_out(chord, open))
