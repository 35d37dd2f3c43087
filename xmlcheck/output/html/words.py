"""Words of the page: pitches as musicians write them, places, times, and who vouches for what."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from xmlcheck.finding import Certainty, Finding, Grade, NoteName, Place
from xmlcheck.output.page import printable

DASH, TIMES, FIXED = "\N{EN DASH}", "\N{MULTIPLICATION SIGN}", "\N{NO-BREAK SPACE}"
SHAPES = {Grade.HALT: "■", Grade.QUERY: "○", Grade.TIDY: DASH}
GRADES = {
    Grade.HALT: "would stop the take",
    Grade.QUERY: "to ask before the part is printed",
    Grade.TIDY: "to clean up before it goes on the stand",
}
CERTAINTIES = {
    Certainty.DOCUMENTED: "a published source",
    Certainty.PLAYER: "one player's word",
    Certainty.MEMORY: "from memory, unchecked",
    Certainty.CONFLICTING: "sources differ, all kept",
}
_PITCH = re.compile(r"(?<![A-Za-z0-9])([A-G])(#{1,3}|b{1,3})?(-?\d)?(?:([+-]\d+)c)?(?![A-Za-z0-9#♯♭])")
_PARTS = {"1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾"}
_NOT_PITCHES = ("Cb", "Db")
"""Without an octave these are as often names of instruments, and Ebb or Abb the beginning of a word."""
_SIGNS = {"": "", "#": "♯", "##": "𝄪", "###": "♯𝄪", "b": "♭", "bb": "♭♭", "bbb": "♭♭♭"}
_VALUE = re.compile(r"(?P<value>.*?) \((?P<certainty>documented|player|memory|conflicting)(?:: (?P<source>.*))?\)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Voucher:
    """One value that a finding rests on: what it says, how sure it is, and its sources in words."""

    value: str
    certainty: str
    meaning: str
    source: str


def signs(text: str) -> str:
    """A text from a file on one line, with ♯ and ♭ in its pitches and arrows where it has `->`; without control characters."""
    return _PITCH.sub(_spelled, printable(text)).replace("->", "→")


def _spelled(match: re.Match[str]) -> str:
    letter, accidental, octave, cents = match.groups()
    if octave is None and (not accidental or "bb" in accidental or f"{letter}{accidental}" in _NOT_PITCHES):
        return match[0]
    return f"{letter}{_SIGNS[accidental or ''].replace('𝄪', '♯♯')}{octave or ''}" + (f" {cents} cents" if cents else "")


def sentence(text: str) -> str:
    """The same, ended."""
    text = signs(text)
    return text if not text or text.endswith((".", "!", "?", "。")) else f"{text}."


def where(place: Place) -> str:
    """`bar 12, beat 2½` or `bars 12-15` with a dash; `whole part` where there is no bar."""
    if place.bar is None:
        return "whole part"
    if place.to_bar is not None:
        return f"bars {printable(place.bar)}{DASH}{printable(place.to_bar)}"
    return f"bar {printable(place.bar)}" + (f", beat {beat_text(place.beat)}" if place.beat is not None else "")


def beat_text(text: str) -> str:
    """`2+1/2` as `2½`."""
    whole, plus, part = text.partition("+")
    return f"{whole}{_PARTS[part]}" if plus and part in _PARTS else text


def clock(seconds: float | None) -> str:
    """`1:07` for 67.4; empty where it is not known or is none."""
    if seconds is None or not 0 <= seconds < 360_000:
        return ""
    minutes, rest = divmod(int(seconds), 60)
    return f"{minutes}:{rest:02d}"


def vouchers(finding: Finding) -> tuple[Voucher, ...]:
    """What a finding rests on; values that are not told in the usual form come as they are."""
    return tuple(_voucher(item, finding.certainty) for item in finding.rests_on)


def _voucher(text: str, certainty: Certainty) -> Voucher:
    match = _VALUE.fullmatch(printable(text))
    if match is None:
        return Voucher(signs(text), certainty.value, CERTAINTIES[certainty], "")
    name, equals, value = match["value"].partition(" = ")
    told = name.replace(".", ", ").replace("_", " ") + (f": {value}" if equals else "")
    stated = Certainty(match["certainty"])
    return Voucher(signs(told), stated.value, CERTAINTIES[stated], match["source"] or "")


def notes(items: Iterable[NoteName], most: int = 12) -> str:
    """The notes concerned, each once with its count, sounding pitch where it differs: `C5 (sounds B♭4), E5 twice`, in signs."""
    counts: dict[str, int] = {}
    for note in items:
        if note.written is None:
            text = "unpitched"
        else:
            text = signs(note.written)
            if note.sounding is not None and note.sounding != note.written:
                text += f" (sounds {signs(note.sounding)})"
        counts[text] = counts.get(text, 0) + 1
    told = [text if count == 1 else f"{text} {TIMES}{count}" for text, count in counts.items()]
    rest = len(told) - most
    return ", ".join(told[:most]) + (f" and {rest} more" if rest > 0 else "")


def several(count: int, noun: str) -> str:
    """`1 finding`, `2 findings`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
