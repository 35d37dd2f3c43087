"""A tree under the pencil: what random edits need to find notes and to change them."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from lxml import etree

Element = etree._Element
STEPS = "CDEFGAB"
SIZES = (0, 2, 4, 5, 7, 9, 11)


class NoPlace(Exception):
    """This edit finds nothing to be done to in this file."""


@dataclass
class Desk:
    """A tree under the pencil. touched: notes, bars and directions that an edit has used."""

    root: Element
    rng: random.Random
    parts: list[Element] = field(init=False)
    touched: set[Element] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.parts = list(self.root.iterchildren("part"))

    def bars(self) -> int:
        return len(self.parts[0].findall("measure"))

    def column(self, index: int) -> list[Element]:
        return [part.findall("measure")[index] for part in self.parts]

    def notes(self, fit: Callable[[Element], bool]) -> Element:
        """A note of the file that fits and is free; every part has the same chance."""
        for part in self.rng.sample(self.parts, len(self.parts)):
            found = [note for note in part.iterfind("measure/note") if note not in self.touched and fit(note)]
            if found:
                note = self.rng.choice(found)
                self.touched.add(note)
                return note
        raise NoPlace


def ordinary(note: Element) -> bool:
    """A pitched note that stands alone: no grace, cue or chord, no tie, no tuplet, nothing tied to it."""
    if note.find("pitch") is None or note.find("duration") is None:
        return False
    if any(note.find(name) is not None for name in ("grace", "cue", "chord", "tie", "time-modification")):
        return False
    if note.find("notations/tied") is not None or note.get("print-object") == "no":
        return False
    after, before = following(note), before_it(note)
    return not has(after, "chord") and not has(after, "grace") and not has(before, "grace")


def without(element: Element, *names: str) -> None:
    """Takes attributes off an element and all inside it."""
    for one in element.iter():
        for name in names:
            if name in one.attrib:
                del one.attrib[name]


def has(note: Element | None, name: str) -> bool:
    return note is not None and note.find(name) is not None


def following(note: Element) -> Element | None:
    return next((one for one in note.itersiblings("note")), None)


def before_it(note: Element) -> Element | None:
    return next((one for one in note.itersiblings("note", preceding=True)), None)


def drop(note: Element, *names: str) -> None:
    for name in names:
        for child in note.findall(name):
            note.remove(child)


def height(note: Element) -> int:
    pitch = note.find("pitch")
    assert pitch is not None
    alter = pitch.findtext("alter") or "0"
    return (
        12 * int(pitch.findtext("octave") or 4)
        + SIZES[STEPS.index((pitch.findtext("step") or "C").strip())]
        + round(float(alter))
    )


def move(note: Element, steps: int, semitones: int) -> bool:
    """Moves a note by an interval; False where it would need more than a double sharp or flat."""
    pitch = note.find("pitch")
    assert pitch is not None
    alter = pitch.findtext("alter") or "0"
    if float(alter) != round(float(alter)):
        return False
    number = STEPS.index((pitch.findtext("step") or "C").strip()) + 7 * int(pitch.findtext("octave") or 4) + steps
    octave, step = divmod(number, 7)
    size = height(note) + semitones - (12 * octave + SIZES[step])
    if abs(size) > 2 or not 0 < octave < 9:
        return False
    for child in list(pitch):
        pitch.remove(child)
    etree.SubElement(pitch, "step").text = STEPS[step]
    if size:
        etree.SubElement(pitch, "alter").text = str(size)
    etree.SubElement(pitch, "octave").text = str(octave)
    return True
