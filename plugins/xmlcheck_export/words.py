"""Technique words as players read them, for rules that must hold on any part (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from xmlcheck.plugin import Direction, says, within

BEGINS: dict[str, tuple[str, ...]] = {
    "pizzicato": ("pizz", "pizzicato"),
    "col legno": ("col legno", "c.l.", "legno battuto", "legno tratto"),
    "con sordino": ("con sord", "con sordino", "con sordini", "sordino", "sordini", "sord", "muted", "mute", "mutes on",
                    "mit dämpfer", "avec sourdine", "sourdine"),
    "sul ponticello": ("sul pont", "sul ponticello", "ponticello", "s.p.", "am steg"),
    "sul tasto": ("sul tasto", "tasto", "s.t.", "flautando", "am griffbrett"),
    "tremolo": ("trem", "tremolo"),
    "harmonics": ("harm", "harmonics", "harmonic", "flag", "flageolet", "armonici"),
    "flutter": ("flutter", "flutter tongue", "fluttertongue", "flz", "frull", "frullato", "flatterzunge"),
}  # fmt: skip
"""Words that begin a technique, by the names that `names.TECHNIQUES` uses."""
ENDS: dict[str, tuple[str, ...]] = {
    "pizzicato": ("arco", "bowed", "col arco", "coll'arco", "archet"),
    "col legno": ("arco", "ord", "ordinario", "nat", "naturale", "modo ordinario"),
    "con sordino": ("senza sord", "senza sordino", "senza sordini", "via sord", "via sordino", "via sordini", "mute off",
                    "mutes off", "open", "ohne dämpfer", "dämpfer ab", "sans sourdine"),
}  # fmt: skip
"""Words that end a technique."""
PLAIN = ("arco", "ord", "ordinario", "nat", "naturale", "modo ordinario", "normale", "norm", "sus", "long", "legato", "open",
         "senza sord", "sustain", "bowed", "plucked")  # fmt: skip
"""Words for the ordinary way of playing: no word is needed where a part begins with it."""


def tells(texts: Iterable[Direction], technique: str) -> bool:
    """Whether one of these directions says a technique, by any of its words."""
    words = (*BEGINS.get(technique, ()), technique)
    return any(item.words and says(item.words, words) for item in texts)


def near(directions: Sequence[Direction], start: int, end: int) -> list[Direction]:
    """The directions with words that stand between two ticks, both included."""
    return [item for item in within(directions, start, end + 1) if item.words]
