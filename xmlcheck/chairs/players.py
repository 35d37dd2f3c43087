"""How many read a part: spans that words or playback data give to several players, and spans that they give to one.

The words are common practice of orchestral parts, no source. In doubt it is several: then what only one pair of hands cannot do
is asked, not refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from xmlcheck.model import CUE, HIDDEN, SILENT, Part
from xmlcheck.partname import fold

LONGEST = 60
"""Letters of a text that may say who plays; a longer one is an explanation (ours)."""
Spans = tuple[tuple[int, int], ...]
END = 1 << 62
"""The end of what goes on to the end of the part."""

_DESK = r"(?:desks?|pulte?|pupitres?|leggio|leggii|stands?)"
_EACH_ALL = re.compile(r"(?<!\w)(?:non div|nicht geteilt|undivided|indivisi|sans diviser)")
_MANY = re.compile(
    r"(?<!\w)(?:(?:a|zu) ?[2-9](?!\d)|a (?:due|tre|quattro|deux|trois|dos)|zu (?:zweit|dritt|viert)|div|divisi|divises?|"
    r"divided|geteilt|gedeeld|unis|unisoni|tutti|soli|gli altri|altri|die (?:ubrigen|anderen)|les autres|the others|tous|"
    r"gemeinsam|(?:[2-9]|two|zwei|deux|due|three|drei|trois|tre|four|vier) "
    rf"(?:players?|spieler|executants|esecutori|solo\w*|{_DESK})|\d+(?:st|nd|rd|th|er|e|o|a)? ?{_DESK}|{_DESK} ?\d+|"
    rf"(?:die halfte|la meta|la moitie|la mitad|half (?:of )?(?:the )?(?:section|players|{_DESK}))|тутти|остальные)(?!\w)"
    r"|\A(?:half|unison|unisono|einstimmig|все)\Z|[分齐齊合]奏|トゥッティ|합주"
)
_ONE = re.compile(
    r"(?<!\w)(?:solo|(?:one|1|single) player|uno solo|una sola|un seul|une seule|(?:1|ein|einer) spieler|allein|соло|منفرد)"
    r"(?!\w)|[独獨]奏|ソロ|독주"
)
_DIGIT = re.compile(r"\s*\(?\s*[1-9]\s?[.°º]\s*\)?\s*\Z")  # "1.": this player alone, in a part for several


def player_spans(part: Part) -> tuple[Spans, Spans]:
    """Spans (start, end) in ticks that are for several players, and spans that one player reads, or each player all of.

    Each lasts to the next word of either kind. A solo that no word ends is trusted as far as the next bar of rest. A heading that
    names several ("div.", "tutti", "a 2") speaks for the beginning.
    """
    kinds: dict[int, bool] = {0: True} if _many(part.display_name or part.name) else {}
    for tick, many in _told(part):
        kinds[tick] = kinds.get(tick, False) or many
    ticks = sorted(kinds)
    several: list[tuple[int, int]] = []
    one: list[tuple[int, int]] = []
    for tick, following in pairwise([*ticks, END]):
        if kinds[tick]:
            several.append((tick, following))
        else:
            one.append((tick, following if following < END else _next_rest(part, tick)))
    return tuple(several), tuple(one)


def _told(part: Part) -> Iterator[tuple[int, bool]]:
    """(tick, whether several play from there) of each place that says so."""
    for direction in part.directions:
        many = _many(direction.words)
        if many is not None:
            yield direction.onset, many
        for change in direction.sound.changes if direction.sound is not None else ():
            if change.ensemble:  # MusicXML 4.0, elements solo and ensemble
                yield direction.sound_at, change.ensemble != "solo"


def _many(words: str) -> bool | None:
    """Whether a text is for several players; None where it does not say."""
    if not words or len(words) > LONGEST:
        return None
    text = fold(words)
    if _EACH_ALL.search(text):
        return False
    if _MANY.search(text):
        return True
    return False if _ONE.search(text) or _DIGIT.match(words) else None


def _next_rest(part: Part, tick: int) -> int:
    """Where the first bar begins that has nothing to play, after the first note from here on."""
    sounding = [note for note in part.notes if note.onset >= tick and not note.flags & (CUE | HIDDEN | SILENT)]
    busy = {note.measure for note in sounding}
    first = min(busy, default=len(part.measures))
    return next((bar.onset for bar in part.measures[first:] if bar.index not in busy), END)
