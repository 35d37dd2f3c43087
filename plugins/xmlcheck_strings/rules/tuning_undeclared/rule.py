"""Notes just below the strings that one retuned string would give, in a part that names no tuning."""

from xmlcheck.plugin import Chair, Hit, Hits, Pitch, Tone, rule
from xmlcheck_strings.derived import Heights
from xmlcheck_strings.facets import Strings
from xmlcheck_strings.stringing import Stringing

DOWN, FEWEST = 2.0, 2
"""Semitones down that a string is taken to bear where the profile says nothing, and the fewest notes that make it a tuning and no
slip (ours)."""
QUARTER_TONE = 50


@rule
def undeclared(
    chair: Chair,
    strings: Strings,
    stringing: Stringing,
    height: Heights,
    down_semitones: float = DOWN,
    fewest_notes: int = FEWEST,
) -> Hits:
    """One hit for the part: the smallest retuning under which all notes below the strings lie on them. A tuning that the profile
    lists comes first, then the lowest string taken down."""
    lowest = min(stringing.usual, key=lambda pitch: pitch.cents)
    low = [tone for tone in chair.tones if not tone.harmonic and height(tone) <= lowest.cents - QUARTER_TONE]
    low = [tone for tone in low if stringing.pitches_at(tone.onset) == stringing.usual]
    if stringing.named is not None or len(low) < fewest_notes:
        return
    deepest = min(low, key=height)
    limit = strings.retune_down.value if strings.retune_down else down_semitones
    if lowest.cents - height(deepest) > 100 * limit + QUARTER_TONE:
        return
    pitch, title = _listed(strings, stringing, low, height) or (_sounding(deepest, height), "")
    values = {
        "low_notes": f"{len(low)} notes",
        "from_pitch": lowest,
        "to_pitch": pitch,
        "changes": f"the {lowest.name} string at {pitch.name}" + (f" ({title})" if title else ""),
        "percent": round(100 * 2 ** ((pitch.cents - lowest.cents) / 600)),
        "needed": f"{strings.retune_seconds.value:g}" if strings.retune_seconds else "",
    }
    used = (strings.retune_down,) if strings.retune_down else strings.courses
    yield Hit(at=tuple(low), values=values, rests_on=used)


def _sounding(tone: Tone, height: Heights) -> Pitch:
    octaves = round((height(tone) - tone.sounding.cents) / 1200)
    return tone.sounding.moved(0, 0, octaves)


def _listed(strings: Strings, stringing: Stringing, low: list[Tone], height: Heights) -> tuple[Pitch, str] | None:
    """The lowest string and the name of the first listed tuning, of the same strings, that gives all the low notes."""
    for tuning in strings.tunings:
        pitch = min(tuning.pitches, key=lambda item: item.cents)
        same = not tuning.restring and len(tuning.pitches) == len(stringing.usual)
        if same and all(height(tone) >= pitch.cents - QUARTER_TONE for tone in low):
            return pitch, tuning.title
    return None
