"""Chords that take more fingers than stop strings."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.derived import Chords
from xmlcheck_strings.facets import Hand
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import open_strings, shape_name, ways_out


@rule
def too_many_fingers(chords: Chords, hand: Hand, stringing: Stringing) -> Hits:
    """One hit for each chord within the hand's stretch that needs more fingers than there are, a lying finger allowed for."""
    used = tuple(item for item in (hand.fingers, hand.barre) if item is not None)
    for chord in chords.chords:
        grip = chord.board.neck.grip
        if chord.shape is None or chord.shape.wide or not chord.shape.many or grip is None:
            continue
        open = open_strings(stringing, chord.onset)
        values = {"needed": chord.shape.fingers, "fingers": grip.fingers, "closest": shape_name(open, chord.shape)}
        yield Hit(at=chord.at, values=values, rests_on=used, grade=chord.cap, alternatives=ways_out(chord, open))
