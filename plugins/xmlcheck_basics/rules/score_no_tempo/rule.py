"""A score that nowhere says how fast it goes."""

import re

from xmlcheck.plugin import Hit, Hits, ScoreFacts, rule

_NUMBER = re.compile(r"(?:=|\bM\.?\s?M\.?\b|\bbpm\b).{0,6}\d{2,3}|\d{2,3}\s?bpm", re.IGNORECASE)


@rule
def no_tempo(score: ScoreFacts) -> Hits:
    """One hit a score that has notes and no tempo; it says where words alone tell one."""
    parts = [part for part in score.score.parts if part.notes]
    if not parts or score.tempo.given:
        return
    texts = [item.words for part in parts for item in part.directions if item.words and _NUMBER.search(item.words)]
    yield Hit(part=parts[0].id, values={"words": texts[:1]})
