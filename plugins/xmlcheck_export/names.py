"""What part names of a mock-up say: numbers instead of instruments, techniques of one player, tracks that nobody plays.

The words are common practice of mock-ups, no source. No instrument is named here.
"""

from __future__ import annotations

import re
from functools import lru_cache

from xmlcheck.plugin import Part, folded

NOT_PLAYED = re.compile(
    r"(?<![^\W_])(?:click|klick|click ?track|metronome?|metronom|guide|guide ?track|pre-?lay|prelays?|scratch|slate|time ?code|"
    r"ltc|smpte|2-?pop|two-?pop|count-?in|countoff|tempo ?track|dialog(?:ue)?|dx|sfx|fx|sound ?effects?|sound ?design|"
    r"ambien(?:ce|t)|foley|reference|ref ?mix|temp ?(?:music|track|mix)|playback|stems?|video|hit ?points?)(?![^\W_])",
    re.IGNORECASE,
)
"""Tracks that are for the control room: click, guide, prelay, dialogue, effects."""

_GENERIC = re.compile(
    r"(?:(?:audio|midi|instrument|software instrument|inst|plug-?in|sampler|synth)?[ _-]*)?"
    r"(?:track|channel|chan|ch|midi|inst|instrument|part|staff|stave|system|untitled|unnamed|new|default|score|music|"
    r"musicxml part|spur|kanal|piste|traccia|pista)?"
    r"[ _#.-]*\d*(?:[ _.-]*(?:copy|kopie|dup|midi|bounced?))?[ _.-]*\d*"
)

TECHNIQUES: dict[str, tuple[str, ...]] = {
    "pizzicato": ("pizz", "pizzicato", "plucked"),
    "col legno": ("col legno", "c l", "legno"),
    "tremolo": ("trem", "tremolo", "trems"),
    "trill": ("trill", "trills", "tr"),
    "harmonics": ("harm", "harmonics", "harmonic", "flageolet", "flag"),
    "con sordino": ("con sord", "con sordino", "sord", "muted", "mute", "cs"),
    "sul ponticello": ("sul pont", "pont", "ponticello", "sp"),
    "sul tasto": ("sul tasto", "tasto", "flautando", "flaut"),
    "effects": ("effects", "efx", "effect", "slides", "gliss", "glissando", "falls", "bends"),
    "flutter": ("flutter", "flutter tongue", "flz", "frull"),
    "long": ("long", "longs", "sus", "sust", "sustain", "sustained", "sustains", "leg", "legato", "arco", "expr", "espr",
             "vib", "ord", "nat", "natural", "lyrical", "swells"),
    "short": ("short", "shorts", "stac", "stacc", "staccato", "spic", "spicc", "spiccato", "marc", "marcato", "staccatissimo",
              "detache", "rep", "reps", "tight"),
}  # fmt: skip
"""Techniques that a track's name tells, with the words for them. `long` and `short` are the ordinary way of playing."""
ORDINARY = ("long", "short")
_BY_WORD = {word: name for name, words in TECHNIQUES.items() for word in words}
_LONGEST = max(len(word.split()) for word in _BY_WORD)
_PATCH = frozenset((
    "ks", "keyswitch", "keyswitches", "multi", "patch", "art", "arts", "articulations", "all", "main", "close", "mix", "lib",
    "v1", "v2", "rr",
))  # fmt: skip
"""Words of a patch's name that tell neither player nor technique."""
_LETTERS = re.compile(r"[^\W_]+")


def heading(part: Part) -> str:
    """The name that is printed before the part."""
    return " ".join((part.display_name or part.name).split())


@lru_cache(maxsize=1024)
def generic(name: str) -> bool:
    """Whether a name says nothing about who plays: empty, a track or channel number."""
    return _GENERIC.fullmatch(folded(name).strip()) is not None


@lru_cache(maxsize=1024)
def not_played(name: str) -> bool:
    """Whether a name tells of a track that no musician plays."""
    return NOT_PLAYED.search(name) is not None


@lru_cache(maxsize=1024)
def split(name: str) -> tuple[str, tuple[str, ...]]:
    """The player's name without technique words, and the techniques it tells: "Violin 1 Pizz" is ("violin 1", pizzicato)."""
    words = _LETTERS.findall(folded(name))
    stem: list[str] = []
    told: list[str] = []
    index = 0
    while index < len(words):
        for length in range(min(_LONGEST, len(words) - index), 0, -1):
            technique = _BY_WORD.get(" ".join(words[index : index + length]))
            if technique is not None:
                told.append(technique)
                index += length
                break
        else:
            if words[index] not in _PATCH:
                stem.append(words[index])
            index += 1
    return " ".join(stem), tuple(dict.fromkeys(told))


def technique_of(text: str) -> str | None:
    """The technique that a word such as "pizz." or "Spicc" names; None for an unknown word."""
    found = split(text)[1]
    return found[0] if found else None
