"""Chords over more strings than a bow sounds together on a curved bridge."""

from xmlcheck.plugin import Chair, Grade, Hit, Hits, rule
from xmlcheck_strings.derived import Chords
from xmlcheck_strings.facets import Bow


@rule
def broken_chord(chair: Chair, chords: Chords, bow: Bow, held_seconds: float = 1.0) -> Hits:
    """One hit for each bowed chord of more strings than sound together that one hand can hold, is marked neither as broken nor as
    divided, and is written to be held: short ones are broken as a matter of course. A section divides it of itself, so there one
    word is to be added.
    """
    if bow.bridge.value != "curved" or bow.hold.value != "free":
        return
    for chord in chords.chords:
        asked = len(chord.tones)
        if not chord.bowed or asked <= bow.at_once.value or chord.shape is None or chord.rolled:
            continue
        seconds = chair.seconds(chord.onset, chord.sonority.end)
        if seconds < held_seconds:
            continue
        values = {
            "asked": asked,
            "at_once": bow.at_once.value,
            "loud": bow.loud.value if bow.loud is not None else "",
            "seconds": round(seconds, 1),
        }
        grade = None if chair.for_one_player(chord.onset) else Grade.TIDY
        yield Hit(at=chord.at, values=values, rests_on=(bow.at_once,), grade=grade)
