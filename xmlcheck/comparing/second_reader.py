"""A second opinion on annotation: another reader of MusicXML must find the same notes before and after.

The other reader is music21, https://www.music21.org/ (a general-purpose library for computer-aided musicology, BSD licence).
"""

from __future__ import annotations

import warnings
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from importlib import import_module
from typing import Any
from xml.etree import ElementTree

from xmlcheck.source import from_bytes

Heard = tuple[int, int, Fraction, Fraction, int | None]
"""Part and bar index, quarter notes from the start of the bar, length in quarter notes, sounding pitch in cents (C4 is 6000)."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """same: both files give the same notes. notes: how many, in the first. missing, extra: in the second. reason: why there is no
    verdict; then `same` is None."""

    same: bool | None
    notes: int = 0
    missing: int = 0
    extra: int = 0
    reason: str = ""


def second_reading(original: bytes, annotated: bytes) -> Verdict:
    """Reads both files with the second reader and compares the notes, one by one."""
    try:
        before, after = Counter(heard(original)), Counter(heard(annotated))
    except Exception as error:  # the other reader may fail in any way; that is no fault of the file's
        return Verdict(None, reason=f"the second reader cannot read it ({type(error).__name__}: {error})")
    if not before and not after:
        return Verdict(None, reason="the second reader finds no notes in it, so it proves nothing (it reads no score-timewise)")
    missing, extra = before - after, after - before
    return Verdict(not missing and not extra, before.total(), missing.total(), extra.total())


def told(verdict: Verdict) -> str:
    """The verdict in words."""
    if verdict.same is None:
        return verdict.reason
    if verdict.same:
        return f"a second reader finds the same {verdict.notes} notes with and without the marks"
    return f"a second reader finds other notes with the marks: {verdict.missing} are missing, {verdict.extra} are extra"


def heard(data: bytes) -> Iterator[Heard]:
    """The notes of a file (or of the score in an .mxl) as music21 reads them. Raises whatever music21 raises."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        stream: Any = import_module("music21.stream")
        importer: Any = import_module("music21.musicxml.xmlToM21").MusicXMLImporter()
        importer.xmlRootToScore(ElementTree.fromstring(from_bytes(data, "score").data), importer.stream)
        for number, part in enumerate(importer.stream.getElementsByClass(stream.Part)):
            part.toSoundingPitch(inPlace=True)
            for index, measure in enumerate(part.getElementsByClass(stream.Measure)):
                for note in _measure(measure):
                    yield number, index, *note


def _measure(measure: Any) -> Iterator[tuple[Fraction, Fraction, int | None]]:
    harmony: Any = import_module("music21.harmony")
    for holder, shift in [(measure, Fraction(0)), *((voice, _exact(voice.offset)) for voice in measure.voices)]:
        for element in holder.notes:
            if isinstance(element, harmony.Harmony):
                continue
            at = _exact(element.offset) + shift
            for note in getattr(element, "notes", (element,)):
                length = Fraction(0) if element.duration.isGrace else _exact(note.duration.quarterLength)
                pitch = getattr(note, "pitch", None)
                yield at, length, None if pitch is None else round(pitch.ps * 100)


def _exact(value: Any) -> Fraction:
    """A quarter length as music21 means it: a fraction with a denominator up to 65535, which it may hold as a float."""
    return Fraction(value).limit_denominator(65535)
