"""Technique words of a part in the script, in letters, and in plain words, where they first stand.

From the profile in the report: `native` its name in its own script; its title is the gloss. A word in letters is one of the
profile's words that is the technique's id too; where there is none, the part's own word stands alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from xmlcheck.facts.words import find, folded
from xmlcheck.finding import PartInfo, Place
from xmlcheck.model import Direction, Part
from xmlcheck.player_lines.line import Line


def term_lines(info: PartInfo, part: Part) -> Iterator[Line]:
    """One line at the first use of each technique that has a name in its own script."""
    told: set[str] = set()
    for direction in part.directions:
        for technique in _meant(direction.words, _known(info)):
            text = term(technique, direction.words)
            if technique["id"] not in told and text:
                told.add(technique["id"])
                yield Line(direction.anchor, text, _place(part, direction))


def explained(info: PartInfo, text: str) -> str:
    """A text of the part with what its technique words are in their script and in plain words: `vib. (揺り (yuri): ...)`."""
    found = [told for technique in _meant(text, _known(info)) if (told := term(technique, text))]
    return f"{text} ({'; '.join(found)})" if found else text


def _known(info: PartInfo) -> Sequence[Mapping[str, Any]]:
    return info.profile.get("facets", {}).get("techniques", {}).get("has", ())  # type: ignore[no-any-return]


def _meant(text: str, known: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The techniques that a text names; a word inside a longer one is that longer one."""
    if not text:
        return []
    places = [(said, one) for one in known for said in find(text, tuple(one.get("words", ())))]
    return [one for said, one in places if not any(other.holds(said) for other, _ in places)]


def term(technique: Mapping[str, Any], written: str) -> str:
    """`揺り (yuri): vibrato behind the bridge`, without what the part says already; empty where the script is not known."""
    native = str(technique.get("native", ""))
    if not native:
        return ""
    names = [] if native in written else [native]
    roman = _roman(technique)
    if roman and folded(roman) not in folded(written):
        names.append(f"({roman})" if names else roman)
    return f"{' '.join(names)}: {technique.get('title', '')}" if names else str(technique.get("title", ""))


def _roman(technique: Mapping[str, Any]) -> str:
    id = folded(str(technique["id"]).replace("-", " "))
    return next((word for word in technique.get("words", ()) if folded(word.replace("-", " ")) == id), "")


def _place(part: Part, direction: Direction) -> Place:
    voice = direction.voice if part.voiced_directions and direction.voice else None
    return Place(staff=direction.staff if part.staves > 1 and direction.staff else None, voice=voice)
