"""Chords with fewer strings between their notes than there are notes."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.derived import Chords
from xmlcheck_strings.facets import Strings
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import open_strings, string_name, ways_out, without_one


@rule
def same_string(chords: Chords, strings: Strings, stringing: Stringing) -> Hits:
    """One hit for each chord. A query where several players or two voices may share it, or where it is rolled."""
    for chord in chords.chords:
        if not chord.crowded:
            continue
        open = open_strings(stringing, chord.onset)
        places = sorted({stop.string for tone in chord.crowded for stop in chord.board.stops(chord.height_of(tone))})
        values = {
            "shared": " and ".join(tone.sounding.name for tone in chord.crowded),
            "string": " or ".join(string_name(open, place) for place in places),
            "tuning": stringing.told_at(chord.onset),
            "closest": without_one(chord, open),
        }
        used = tuple(strings.courses[place] for place in places if place < len(strings.courses))
        yield Hit(at=chord.at, values=values, rests_on=used, grade=chord.cap, alternatives=ways_out(chord, open))
