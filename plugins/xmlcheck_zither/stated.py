"""What the part itself says about its tuning: names of tunings, lists of pitches, `F# -> G`, and the standard's elements."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

from xmlcheck.plugin import Chair, Direction, Pitch, pitch, says
from xmlcheck_zither.facets import NamedTuning, StringSet

Tuned = Mapping[int, int]
"""Pitch in cents for each string, by its place in the profile's tunings."""
_ABOUT = re.compile(
    r"\btun(?:ed|ings?)\b|\bretun\w+|\btune (?:to|up|down|in|strings?)\b|\bscordatura|\bstimmung|\bstimmen\b|umstimmen"
    r"|\baccord(?:er|ez|age|ages|é|ée|atura)\b|\bafinaci|\bmove (?:the )?bridges?\b|[定調调転转][弦絃調调子]|柱を|조율",
    re.IGNORECASE,
)
_DO = re.compile(r"\b1\s?=\s?([#b♯♭]?)([A-G])([#b♯♭]?)")
_PENTATONIC = frozenset({0, 200, 400, 700, 900})
_PITCH = re.compile(r"(?<![\w#♯♭])([A-G])(##|#|♯|bb|b|♭|[ -]?sharp|[ -]?flat)?(-?\d)?(?![\w#♯♭])")
_MOVE = re.compile(
    r"(?<![\w#♯♭])([A-G](?:#|♯|b|♭)?)(\d)?\s*(?:-+>|→|➝|\bto\b|\bin\b|\bauf\b|\ben\b)\s*([A-G](?:#|♯|b|♭)?)(\d)?(?![\w#♯♭])"
)
_SIGNS = {"♯": "#", "♭": "b", "sharp": "#", "flat": "b"}
MOST_MOVED = 200
"""A statement that would move a string further than this, in cents, is not understood as a tuning of these strings."""
FEWEST = 4
"""A list of at least so many note names is read as a tuning."""


@dataclass(frozen=True, slots=True)
class Stated:
    """One statement. tick, measure, anchor: where. named: the tuning that it names. tuned: the strings where all are known.
    text: as it stands in the part; empty for an element without words."""

    onset: int
    measure: int
    anchor: int
    text: str
    named: NamedTuning | None = None
    tuned: Tuned | None = None


class Statements:
    """All statements of a part in order of place."""

    def __init__(self, items: Iterable[Stated]) -> None:
        self.items = tuple(sorted(items, key=lambda item: item.onset))

    def before(self, onset: int) -> Stated | None:
        """The last statement that stands at or before a tick."""
        return next((item for item in reversed(self.items) if item.onset <= onset), None)


def statements(chair: Chair, strings: StringSet, first: int) -> Statements:
    """The statements of a chair's part. `first`: tick of its first note; elements that stand before it set the opening."""
    found: list[Stated] = []
    now = _of(strings.usual)
    for direction in chair.directions:
        item = _words(direction, strings, now) if direction.words else None
        if item is None and direction.words and direction.onset <= first:
            item = _number_key(direction, strings)
        if item is not None:
            found.append(item)
            now = dict(item.tuned) if item.tuned else now
    for tuning in chair.part.tunings:
        if tuning.strings and tuning.staff_type not in ("ossia", "editorial", "cue", "alternate"):
            tuned = _numbered(strings, dict(tuning.strings), now) if not tuning.by_line else None
            found.append(Stated(tuning.onset, tuning.measure, tuning.anchor, "", None, tuned))
    return Statements(found)


def _of(tuning: NamedTuning) -> dict[int, int]:
    return {index: item.cents for index, item in enumerate(tuning.pitches)}


def _words(direction: Direction, strings: StringSet, now: Tuned) -> Stated | None:
    text = direction.words
    place = direction.onset, direction.measure, direction.anchor
    named = next((tuning for tuning in strings.tunings if tuning.words and says(text, tuning.words)), None)
    moved = _moves(text, now)
    about = _ABOUT.search(text) is not None
    if moved is not None and (about or "->" in text or "→" in text):
        return Stated(*place, text, named, moved)
    if named is not None:
        return Stated(*place, text, named, _of(named))
    if not about:
        return None
    listed = _listed(text, strings)
    return Stated(*place, text, None, listed)


def _number_key(direction: Direction, strings: StringSet) -> Stated | None:
    """`1=G` at the head of a part in number notation: the tuning whose do is G. Later on it may only mean the key of the music."""
    match = _DO.search(direction.words)
    usual = {item.cents % 1200 for item in strings.usual.pitches}
    do = next((low for low in usual if {(cents - low) % 1200 for cents in usual} == _PENTATONIC), None)
    if match is None or do is None:
        return None
    before, letter, after = match.groups()
    tonic = pitch(letter + _plain(before or after) + "4").cents
    tuned = _to_classes({(tonic + step) % 1200 for step in _PENTATONIC}, strings)
    named = next((tuning for tuning in strings.tunings if _of(tuning) == tuned), None)
    return Stated(direction.onset, direction.measure, direction.anchor, direction.words, named, tuned)


def _listed(text: str, strings: StringSet) -> dict[int, int] | None:
    """The tuning of a list of note names: string by string where there are as many, else by letters for all octaves."""
    names = [_name(match) for match in _PITCH.finditer(text)]
    if len(names) < FEWEST:
        return None
    usual = strings.usual.pitches
    if len(names) == len(usual) and all(octave for _, octave in names):
        return {index: pitch(letters + octave).cents for index, (letters, octave) in enumerate(names)}
    return _to_classes({pitch(letters + "4").cents % 1200 for letters, _ in names}, strings)


def _to_classes(classes: Set[int], strings: StringSet) -> dict[int, int] | None:
    """The tuning in which the strings have these pitch classes, each degree moved by at most a tone; None where that cannot be.

    As many classes as degrees: each degree takes one, in order, in the turn that moves least. Else each takes the nearest.
    """
    usual = strings.usual.pitches
    degrees = sorted({item.cents % 1200 for item in usual})
    wanted = sorted(classes)
    if len(degrees) == len(wanted):
        turns = [wanted[n:] + wanted[:n] for n in range(len(wanted))]
    else:
        turns = [[min(wanted, key=lambda cents: abs(_apart(cents, degree))) for degree in degrees]]
    moved = [[_apart(cents, degree) for cents, degree in zip(turn, degrees, strict=True)] for turn in turns]
    best = min(moved, key=lambda shifts: sum(map(abs, shifts)))
    if max(map(abs, best)) > MOST_MOVED:
        return None
    by_degree = dict(zip(degrees, best, strict=True))
    return {index: item.cents + by_degree[item.cents % 1200] for index, item in enumerate(usual)}


def _apart(cents: int, degree: int) -> int:
    """From a degree to a pitch class the short way round the octave."""
    return (cents - degree + 600) % 1200 - 600


def _moves(text: str, now: Tuned) -> dict[int, int] | None:
    """The tuning after `F# -> G` or `F#4 to G4`: every string of that note, or the one named."""
    tuned = dict(now)
    found = False
    for match in _MOVE.finditer(text):
        old, octave, new, _ = match.groups()
        before, after = pitch(_plain(old) + (octave or "4")).cents, pitch(_plain(new) + (octave or "4")).cents
        shift = (after - before + 600) % 1200 - 600
        for index, cents in now.items():
            if cents == before if octave else cents % 1200 == before % 1200:
                tuned[index] = cents + shift
                found = True
    return tuned if found else None


def _name(match: re.Match[str]) -> tuple[str, str]:
    step, sign, octave = match.groups()
    return step + _plain((sign or "").strip(" -")), octave or ""


def _plain(name: str) -> str:
    for sign, plain in _SIGNS.items():
        name = name.replace(sign, plain)
    return name


def _numbered(strings: StringSet, given: Mapping[int, Pitch], now: Tuned) -> dict[int, int] | None:
    """The tuning of a <scordatura>, whose strings count from the highest down (MusicXML 4.0, element accord)."""
    usual = strings.usual.pitches
    from_top: Sequence[int] = sorted(range(len(usual)), key=lambda index: -usual[index].cents)
    tuned = dict(now)
    for number, item in given.items():
        if not 1 <= number <= len(from_top):
            return None
        tuned[from_top[number - 1]] = item.cents
    return tuned
