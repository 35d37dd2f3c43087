"""Parts for an instrument of fixed tuning that do not say which."""

from xmlcheck.plugin import Chair, Hit, Hits, Match, pitch, rule, says
from xmlcheck_struck.facets import Bars, BarTuning

NEAR = 40
"""Cents within which a note lies on a bar (ours)."""
ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
MOST = 4
"""Tunings named in the message."""


@rule
def tuning(chair: Chair, bars: Bars, match: Match) -> Hits:
    """One hit for a part that names no tuning, with those in which all of its notes would lie on bars, from any keynote."""
    heading = " ".join((chair.part.name, chair.part.display_name))
    words = [item.words for item in chair.directions if item.words]
    known = tuple(word for item in bars.tunings for word in item.words)
    if not chair.tones or match.key or any(says(text, known) for text in (heading, *words)):
        return
    places: dict[int, str] = {}
    for tone in chair.tones:
        places.setdefault(tone.sounding.cents % 1200, tone.sounding.name.rstrip("-0123456789c+"))
    fits = [f"{item.title} on {root}" for item in bars.tunings for root in ROOTS if _holds(item, root, places)]
    values = {"letters": [places[place] for place in sorted(places)], "fits": fits[:MOST]}
    used = bars.retuned if bars.retuned is not None else bars.degrees
    yield Hit(values=values, rests_on=(used,))


def _holds(tuning: BarTuning, root: str, places: dict[int, str]) -> bool:
    start = pitch(f"{root}4").cents
    bars = [(start + round(step * 100)) % 1200 for step in tuning.semitones]
    return all(any(min((bar - place) % 1200, (place - bar) % 1200) <= NEAR for bar in bars) for place in places)
