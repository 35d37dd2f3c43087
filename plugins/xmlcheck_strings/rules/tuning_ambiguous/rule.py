"""Words about a tuning that leave open what is tuned to what."""

from xmlcheck.plugin import Hit, Hits, rule
from xmlcheck_strings.facets import Strings
from xmlcheck_strings.stringing import Stringing
from xmlcheck_strings.telling import string_name


@rule
def ambiguous(strings: Strings, stringing: Stringing) -> Hits:
    """One hit for each direction with a bare B, or that speaks of a retuning and names no string and pitch that can be read."""
    for event in stringing.events:
        if event.words is None:
            continue
        if event.words.unread and not any(other.words is None for other in stringing.events):
            yield Hit(at=(event.at,), values={"words": event.said, "readings": "no string and pitch could be read"})
        for string, other in event.words.doubts:
            first = dict(event.words.changes)[string]
            told = f"{string_name(stringing.usual, string)} to {first.name} (English) or to {other.name} (German)"
            yield Hit(at=(event.at,), values={"words": event.said, "readings": told})
