"""Strings that the part's tuning takes up further than players accept."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.facets import Strings
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import string_name

ACCEPTED = 1.0
"""Semitones up that need no word where the profile says nothing (ours, no source)."""


@rule
def raised(strings: Strings, stringing: Stringing, accepted_semitones: float = ACCEPTED) -> Hits:
    """One hit for each string, at the first change that takes it further up. Tension by Mersenne's law, at equal length."""
    limit = strings.retune_up.value if strings.retune_up else accepted_semitones
    used = (strings.retune_up,) if strings.retune_up else ()
    told: set[int] = set()
    for event in stringing.events:
        if len(event.pitches) != len(stringing.usual) or _restrung(strings, event.pitches):
            continue
        for string, (usual, pitch) in enumerate(zip(stringing.usual, event.pitches, strict=True)):
            up = (pitch.cents - usual.cents) / 100
            if up > limit and string not in told:
                told.add(string)
                values = {
                    "string": string_name(stringing.usual, string),
                    "semitones": f"{up:g} semitone{'s' if up != 1 else ''}",
                    "to_pitch": pitch,
                    "percent": round(100 * 2 ** (up / 6)),
                    "limit": f"{limit:g}",
                }
                yield Hit(at=(event.at,), values=values, rests_on=used, group=str(string))


def _restrung(strings: Strings, pitches: tuple[object, ...]) -> bool:
    return any(item.restring and item.pitches == pitches for item in strings.tunings)
