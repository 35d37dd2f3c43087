"""Changes of instrument inside a part: by words, by a new part name, by playback data, by the notes themselves.

The words are common practice of orchestral parts, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from xmlcheck.chairs.instruments import Hands
from xmlcheck.model import Direction, Part, ScoreInstrument
from xmlcheck.partname import bare_key, fold, part_name

LONGEST = 80
"""Letters of a text that may announce a change; a longer one is an explanation (ours)."""
_TO = re.compile(
    r"(?<![^\W_])(?:change to|changes to|switch to|take|takes|to|muta in|mutano in|muta|cambia in|nehmen|nimmt|wechselt zu|"
    r"wechseln zu|wechsel zu|prend|prends|prendre|prenez|changez en|changer en|passe à|pasa a|cambia a|toma|muda para|neemt)\s+"
    r"(?P<name>[^\W\d][^,;()\[\]/]*)",
    re.IGNORECASE,
)
_TAKEN = re.compile(r"(?P<name>[^,;()\[\]/]+?)\s+(?:nehmen|nimmt|nemen)(?![^\W_])", re.IGNORECASE)  # the verb stands last
_ONE_OF = re.compile(r"\s*\(?\s*(?:\d(?:st|nd|rd|th|er|e|o|a)?\.?|I{1,3}\.?|IV\.?)(?:(?<=\.)|\s)\s*(?=[^\W\d])")
"""The player who changes, in a part for several; the others go on."""
_ARTICLES = frozenset(("the", "a", "la", "le", "les", "il", "lo", "el", "die", "der", "das", "den", "de", "het", "o"))
_SIGNS = frozenset(("coda", "segno", "fine"))
_WORDS = 5


@dataclass(frozen=True, slots=True)
class Change:
    """From `tick` on another instrument is played: the one that data give, the one that `text` names, or both."""

    tick: int
    instrument: ScoreInstrument | None = None
    text: str = ""


def changes(part: Part, played: Hands, knows: Callable[[str], bool]) -> list[Change]:
    """All changes of one player's instrument, in order of time; those at one place in document order."""
    found = [Change(tick, instrument) for tick, instrument in played.turns]
    found += _by_data(part, played)
    heading = part_name(part.display_name or part.name)
    stem, several = heading.stem, (heading.players or 1) > 1
    for direction in part.directions:
        if several and _ONE_OF.match(direction.words):
            continue
        for text in (*_named(direction), *_announced(direction.words), *_in_key(direction.words, stem)):
            if knows(text):
                found.append(Change(direction.onset, text=text))
                break
    return sorted(found, key=lambda change: change.tick)


def _named(direction: Direction) -> Iterator[str]:
    """A new part name from here on (MusicXML 4.0, element part-name-display of <print>)."""
    for mark in direction.marks:
        if mark.group == "print" and mark.name == "part-name-display" and mark.value.strip():
            yield " ".join(mark.value.split())


def _announced(words: str) -> Iterator[str]:
    """What a text may name as the next instrument, longest first: after "to" and its like, or before "nehmen"."""
    if not words or len(words) > LONGEST:
        return
    for match in _TO.finditer(words):
        tokens = _bare(match["name"].split())
        if tokens and fold(tokens[0]) not in _SIGNS:
            yield from (" ".join(tokens[:end]) for end in range(min(len(tokens), _WORDS), 0, -1))
    for match in _TAKEN.finditer(words):
        tokens = match["name"].split()
        yield from (" ".join(_bare(tokens[start:])) for start in range(max(0, len(tokens) - _WORDS), len(tokens)))


def _in_key(words: str, stem: str) -> Iterator[str]:
    """The part's instrument in the key that a text like "muta in A" asks for. After "to" a lone letter is a place in the score."""
    for match in _TO.finditer(words) if stem and words and len(words) <= LONGEST else ():
        verb = words[: match.start("name")].split()[-1].casefold()
        if verb != "to" and (key := bare_key(match["name"])):
            yield f"{stem} in {key}"


def _bare(tokens: list[str]) -> list[str]:
    return tokens[1:] if len(tokens) > 1 and tokens[0].casefold() in _ARTICLES else tokens


def _by_data(part: Part, played: Hands) -> Iterator[Change]:
    """Changes in playback data. The id of <instrument-change> is "the score-instrument affected", its sound what that becomes.

    Some files use the id alone to say which instrument plays; that counts where the notes do not say so themselves.
    """
    current = {instrument.id: instrument for instrument in part.instruments}
    own = dict(current)
    first = part.notes[0].onset if part.notes else 0
    latest = played.first
    for direction in part.directions:
        for change in direction.sound.changes if direction.sound is not None else ():
            if change.id not in own or (played.marked and latest is not None and change.id != latest.id):
                continue
            instrument = current[change.id]
            if change.sound and change.sound != instrument.sound:
                named = direction.sound_at <= first
                instrument = replace(own[change.id], sound=change.sound, program=None)
                if change.sound == own[change.id].sound:
                    instrument = own[change.id]
                elif not named:
                    instrument = replace(instrument, name="", abbreviation="")
                current[change.id] = instrument
            if instrument != latest:
                latest = instrument
                yield Change(direction.sound_at, instrument)
