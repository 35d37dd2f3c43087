"""Trills in chords, which take a finger more for each trilled note."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.derived import Chords
from xmlcheck_strings.facets import Hand

TRILLS = ("trill-mark", "mordent", "inverted-mordent", "shake")


@rule
def trill_fingers(chords: Chords, hand: Hand) -> Hits:
    """One hit for each chord that the hand can hold, and that takes more fingers than it has with its trills."""
    for chord in chords.chords:
        trills = sum(tone.has(*TRILLS) for tone in chord.tones)
        grip = chord.board.neck.grip
        if not trills or chord.shape is None or not chord.shape.fits or grip is None:
            continue
        needed = chord.shape.fingers + trills
        if needed > grip.fingers:
            values = {"needed": needed, "fingers": grip.fingers, "span_mm": "", "limit_mm": ""}
            yield Hit(at=chord.at, values=values, rests_on=(hand.fingers,))
