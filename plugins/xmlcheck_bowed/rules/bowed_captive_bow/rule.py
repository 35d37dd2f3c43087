"""Two notes at once for a bow whose hair runs between two strings."""

from xmlcheck.plugin import Grade, Hit, Hits, rule
from xmlcheck_strings.chords import Chord
from xmlcheck_strings.derived import Chords
from xmlcheck_strings.facets import Bow


@rule
def captive_bow(chords: Chords, bow: Bow, same_place_semitones: float = 0.6) -> Hits:
    """One hit for each bowed chord. A query where both strings are open or stopped at one place, which can be caught together as
    an effect, and where several players may share the notes."""
    if bow.hold.value != "captive":
        return
    for chord in chords.chords:
        if not chord.bowed:
            continue
        effect = _effect(chord, same_place_semitones)
        grade = Grade.QUERY if effect else chord.cap
        yield Hit(at=chord.at, values={"effect": effect}, rests_on=(bow.hold,), grade=grade)


def _effect(chord: Chord, same_place: float) -> str:
    """What makes both strings sound together; empty where nothing does."""
    if chord.shape is None or len(chord.tones) != 2:
        return ""
    low, high = (stop.stop for stop in chord.shape.stops)
    if not low and not high:
        return "both open strings can be caught together as an effect"
    if low and high and abs(low - high) <= same_place:
        return "both strings stopped at one place can be caught together as an effect"
    return ""
