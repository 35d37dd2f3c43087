"""Where words or signs make plucked notes last, or sweep the strings."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from operator import itemgetter

from xmlcheck.plugin import Chair, Techniques, Tone, says

RINGS = ("l.v.", "laissez vibrer", "let ring", "lascia vibrare", "dejar vibrar", "klingen lassen", "ring")
"""Words of letting a note ring out, common to all plucked instruments (common practice, no source)."""


def in_force(
    chair: Chair, techniques: Techniques | None, ids: Iterable[str], extra: tuple[str, ...] = ()
) -> Callable[[int], bool]:
    """Whether, at a tick, the last words that speak of any technique are of one of these ids, or of the `extra` words.

    A word holds until words of another technique, or words that end it, come: written for what follows, not for one note.
    """
    wanted = set(ids)
    spans: list[tuple[int, bool]] = []
    items = techniques.has if techniques is not None else ()
    for direction in chair.directions:
        words = direction.words
        if not words:
            continue
        own = any(item.words and item.id in wanted and says(words, item.words) for item in items) or bool(
            extra and says(words, extra)
        )
        ends = any(item.id in wanted and item.cancels and says(words, item.cancels) for item in items)
        if own or ends or any(item.words and says(words, item.words) for item in items):
            spans.append((direction.onset, own))

    def here(tick: int) -> bool:
        index = bisect_right(spans, tick, key=itemgetter(0))
        return index > 0 and spans[index - 1][1]

    return here


def signed(tone: Tone, marks: Iterable[str]) -> bool:
    """Whether a sign on the note makes it last: one of these marks, a tremolo, a tie into nothing, a fermata."""
    if tone.has("tremolo", "fermata", "trill-mark", "wavy-line", "arpeggiate", *marks):
        return True
    return any(note.tied("let-ring") for note in tone.notes)
