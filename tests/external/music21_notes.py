"""The notes of a MusicXML file as music21 reads them: an independent reader of the same bytes.

music21, https://www.music21.org/ (a general-purpose library for computer-aided musicology, BSD licence; 10.5.1 when measured).
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass, field
from fractions import Fraction
from importlib import import_module
from typing import Any, NamedTuple
from xml.etree import ElementTree


class Heard(NamedTuple):
    """One notehead. bar: index of its bar in the part. at: quarter notes from the start of the bar. duration: quarter notes, 0
    for grace notes. cents: sounding pitch, C4 is 6000; None for unpitched notes."""

    bar: int
    at: Fraction
    duration: Fraction
    cents: int | None


@dataclass
class Reading:
    """One part as read. starts: where each bar begins, in quarter notes from the start of the part."""

    notes: list[Heard] = field(default_factory=list)
    starts: list[Fraction] = field(default_factory=list)


def music21_notes(data: bytes) -> list[Reading]:
    """The parts in the file's order, the staves of a part together. Raises whatever music21 raises on the file."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        stream: Any = import_module("music21.stream")
        importer: Any = import_module("music21.musicxml.xmlToM21").MusicXMLImporter()
        found: list[Reading] = []
        importer.xmlRootToScore(ElementTree.fromstring(data), importer.stream)
        before = ""
        for part in importer.stream.getElementsByClass(stream.Part):
            part.toSoundingPitch(inPlace=True)
            # music21 makes one part of each staff, named after the part.
            name = str(part.id).rpartition("-Staff")[0] if isinstance(part, stream.PartStaff) else ""
            if not name or name != before:
                found.append(Reading())
            before = name
            measures = list(part.getElementsByClass(stream.Measure))
            found[-1].starts = [exact(measure.offset) for measure in measures]
            for index, measure in enumerate(measures):
                found[-1].notes.extend(_measure(measure, index))
    return found


def _measure(measure: Any, index: int) -> list[Heard]:
    harmony: Any = import_module("music21.harmony")
    found = []
    for holder, shift in [(measure, Fraction(0)), *((voice, exact(voice.offset)) for voice in measure.voices)]:
        for element in holder.notes:
            if isinstance(element, harmony.Harmony):
                continue
            at = exact(element.offset) + shift
            for note in getattr(element, "notes", (element,)):
                # A chord has one duration in music21; its notes may each have their own, as in the file.
                duration = Fraction(0) if element.duration.isGrace else exact(note.duration.quarterLength)
                pitch = getattr(note, "pitch", None)
                found.append(Heard(index, at, duration, None if pitch is None else round(pitch.ps * 100)))
    return found


def exact(value: Any) -> Fraction:
    """A quarter length as music21 means it: a fraction with a denominator up to 65535, which it may hold as a float."""
    return Fraction(value).limit_denominator(65535)
