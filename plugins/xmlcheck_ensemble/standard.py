"""The pitch standard that a score names, and how far two standards lie apart."""

from __future__ import annotations

import re
from math import log2

from xmlcheck.plugin import ScoreFacts

ASSUMED = 440.0
"""A4 in Hz where nothing is said (ISO 16:1975)."""
LOWEST, HIGHEST = 380.0, 500.0
"""What lies outside is no pitch standard (ours)."""
_SAID = re.compile(
    r"(?<!\w)(?:a4?|la|ラ|イ)\s*[=:≈~]\s*(\d{3}(?:[.,]\d+)?)\s*(?:hz)?(?!\d)|(?<!\d)(\d{3}(?:[.,]\d+)?)\s*hz(?!\w)",
    re.IGNORECASE,
)


def named(score: ScoreFacts) -> float | None:
    """A4 in Hz as words or fields of the score say ("A = 442", "442 Hz"); the first that is a pitch standard."""
    texts = [value for _, value in score.score.fields]
    texts += [item.words for part in score.score.parts for item in part.directions if item.words]
    texts += [text for part in score.score.parts for text in (part.name, part.display_name)]
    for text in texts:
        for found in _SAID.finditer(text):
            hz = float((found[1] or found[2]).replace(",", "."))
            if LOWEST <= hz <= HIGHEST:
                return hz
    return None


def apart(one: float, other: float) -> float:
    """Cents from the second standard up to the first."""
    return 1200 * log2(one / other)
