"""Changes of the tuning inside a part, and the silence there is for them."""

from bisect import bisect_left
from operator import itemgetter

from xmlcheck.plugin import Chair, Hit, Hits, rule
from xmlcheck_strings.facets import Strings
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import string_name

SECONDS = 10.0
"""Seconds to retune one string where the profile says nothing (ours, no source)."""


@rule
def retune_time(chair: Chair, strings: Strings, stringing: Stringing, seconds_a_string: float = SECONDS) -> Hits:
    """One hit for each change after the first note of the part with less silence around it than its strings take."""
    before, first = stringing.usual, chair.tones[0].onset if chair.tones else 0
    used = (strings.retune_seconds,) if strings.retune_seconds else ()
    each = strings.retune_seconds.value if strings.retune_seconds else seconds_a_string
    for event in stringing.events:
        moved = [n for n, pitch in enumerate(event.pitches) if n >= len(before) or pitch != before[n]]
        before = event.pitches
        if not moved or event.onset <= first:
            continue
        seconds = chair.seconds(*_silence(chair, event.onset))
        needed = each * len(moved)
        if seconds < needed:
            values = {
                "tuning": " ".join(pitch.name for pitch in event.pitches),
                "strings": " and ".join(string_name(event.pitches, n) for n in moved),
                "seconds": round(seconds),
                "needed": round(needed),
            }
            yield Hit(at=(event.at,), values=values, rests_on=used)


def _silence(chair: Chair, tick: int) -> tuple[int, int]:
    """The silence that holds or touches a tick; no time where there is none."""
    index = bisect_left(chair.silences, tick, key=itemgetter(1))  # the first that does not end before
    if index < len(chair.silences) and chair.silences[index][0] <= tick:
        return chair.silences[index]
    return tick, tick
