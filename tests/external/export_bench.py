"""What the mutations of `export_mutations` share: a score on the bench, and finding and changing its notes."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from lxml import etree

Element = etree._Element


@dataclass(frozen=True)
class Mutation:
    """One planted fault: its kind, the part, and the bar (index from 0); bar None where the whole part is concerned."""

    kind: str
    part: str
    bar: int | None
    data: bytes = field(repr=False)


@dataclass
class Bench:
    """A score to mutate: its tree and a source of chance. lowest: sounding lowest note of each part's instrument, by part id."""

    root: Element
    chance: random.Random
    lowest: dict[str, int] = field(default_factory=dict)

    @property
    def parts(self) -> list[Element]:
        return [part for part in self.root.findall("part") if any(True for _ in part.iter("pitch"))]

    def part(self) -> Element:
        return self.chance.choice(self.parts)

    def pick(self, part: Element, fits: Callable[[Element], bool]) -> tuple[int, Element] | None:
        """A random note of a part that fits, with the index of its bar."""
        found = [
            (index, note) for index, bar in enumerate(part.findall("measure")) for note in bar.findall("note") if fits(note)
        ]
        return self.chance.choice(found) if found else None


def text(element: Element, path: str, default: str = "") -> str:
    return (element.findtext(path) or default).strip()


def steps(part: Element) -> int:
    """Divisions of a quarter note at the start of a part."""
    return int(text(part, "measure/attributes/divisions", "1"))


def sounds(note: Element) -> bool:
    """An ordinary note: pitched, timed, printed, one voice's own."""
    return (
        note.find("pitch") is not None
        and note.find("chord") is None
        and note.find("grace") is None
        and note.find("cue") is None
        and note.get("print-object") != "no"
    )


def plain(note: Element) -> bool:
    """An ordinary note without tie or tuplet, not the lead of a chord."""
    following = note.getnext()
    chord = following is not None and following.find("chord") is not None
    return sounds(note) and note.find("tie") is None and note.find("time-modification") is None and not chord


def before(note: Element, *new: Element) -> None:
    parent = note.getparent()
    assert parent is not None
    at = parent.index(note)
    for offset, element in enumerate(new):
        parent.insert(at + offset, element)


def made(step: str, octave: int, duration: int, voice: str, kind: str = "") -> Element:
    type_ = f"<type>{kind}</type>" if kind else ""
    return etree.fromstring(
        f"<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>{duration}</duration>"
        f"<voice>{voice}</voice>{type_}</note>"
    )


def after_voice(note: Element, child: Element) -> None:
    """Puts a child of a note where the schema wants an accidental or notations: before stem, staff, beams and lyrics."""
    late = ("time-modification", "stem", "notehead", "staff", "beam", "notations", "lyric", "play")
    first = next((one for one in note if one.tag in late), None)
    if first is None:
        note.append(child)
    else:
        note.insert(note.index(first), child)
