"""A part as it is compared: bars of numbered noteheads and signs, voices and layout gone, times on the common grid."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from xmlcheck.comparing.lexicon import KINDS, Lexicon, Sign
from xmlcheck.comparing.moments import Moments
from xmlcheck.comparing.revision import Syllable
from xmlcheck.comparing.states import States, states
from xmlcheck.comparing.tokens import Token
from xmlcheck.model import GRACE, TIE_START, Barline, Direction, Part

EVERYONE = frozenset(("rehearsal", "segno", "coda"))
"""Directions that are for all, in whichever part a file carries them."""


@dataclass(frozen=True)
class BarView:
    """One bar. heads: numbers, sorted; notes: of each, the index in `Part.notes`. signs, directions: the same of signs."""

    heads: tuple[int, ...] = ()
    notes: tuple[int, ...] = ()
    signs: tuple[int, ...] = ()
    directions: tuple[int, ...] = ()
    length: int = 0

    @cached_property
    def key(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """What two bars have in common when nothing was changed."""
        return self.heads, self.signs


@dataclass(frozen=True, slots=True)
class PartView:
    """A part: its bars, and what is in force in each. `part` is None for what is for all (tempo, repeats, rehearsal marks)."""

    part: Part | None
    bars: tuple[BarView, ...]
    states: States
    signs_of: tuple[Direction | Barline, ...] = ()


def part_view(
    part: Part, lexicon: Lexicon, moments: Moments, sung: Mapping[int, tuple[Syllable, ...]], plain: bool = False
) -> PartView:
    """One part. plain: printed note values are left out, for music in other note values."""
    heads = _heads(part, lexicon, moments, sung, plain)
    own = [one for one in part.directions if not one.marks or any(mark.name not in EVERYONE for mark in one.marks)]
    signs: list[list[tuple[int, int]]] = [[] for _ in part.measures]
    for number, direction in enumerate(own):
        if direction.measure < len(signs):
            at = moments[direction.onset - part.measures[direction.measure].onset]
            for token in _tokens(direction, lexicon):
                signs[direction.measure].append((lexicon.sign(Sign(at, max(1, direction.staff), token)), number))
    for number, rest in enumerate(part.rests):
        for mark in rest.marks:  # a fermata on a rest
            found = lexicon.token(mark)
            if found is not None and found.category != "tuplet":
                at = moments[rest.onset - part.measures[rest.measure].onset]
                signs[rest.measure].append((lexicon.sign(Sign(at, rest.staff, found)), -1 - number))
    bars = tuple(
        _bar(found, around, moments[measure.length]) for found, around, measure in zip(heads, signs, part.measures, strict=True)
    )
    return PartView(part, bars, states(part, moments), tuple(own))


def _bar(heads: list[tuple[int, int]], signs: list[tuple[int, int]], length: int) -> BarView:
    heads.sort()
    signs.sort()
    return BarView(
        tuple([code for code, _ in heads]),
        tuple([index for _, index in heads]),
        tuple([code for code, _ in signs]),
        tuple([index for _, index in signs]),
        length,
    )


def _heads(
    part: Part, lexicon: Lexicon, moments: Moments, sung: Mapping[int, tuple[Syllable, ...]], plain: bool
) -> list[list[tuple[int, int]]]:
    starts = [measure.onset for measure in part.measures]
    found: list[list[tuple[int, int]]] = [[] for _ in part.measures]
    names = {one.id: one.sound or one.name or one.id for one in part.instruments} if len(part.instruments) > 1 else {}
    graces: dict[tuple[int, int, str], int] = {}
    pitch, head, token = lexicon.pitch, lexicon.head, lexicon.token
    for index, note in enumerate(part.notes):
        flags = note.flags
        if note.written is None or note.sounding is None:
            written = sounding = lexicon.unpitched(note.display)
        else:
            sounding = pitch(note.sounding)
            written = sounding if note.written is note.sounding else pitch(note.written)
        order = 0
        if flags & GRACE:
            place = (note.measure, note.onset, note.voice)
            order = graces[place] = graces.get(place, 0) + (0 if note.chord and place in graces else 1)
        tie = flags & TIE_START
        marks: tuple[Token, ...] = ()
        if note.marks:
            marks = tuple(sorted(one for one in map(token, note.marks) if one is not None))
            tie = tie or note.tied("start")
        player = ",".join(sorted(names.get(one, one) for one in note.instruments)) if names else ""
        look: tuple[object, ...] = () if plain else (note.type, note.dots, note.ratio, note.sign, note.notehead)
        raw = (
            moments[note.onset - starts[note.measure]], moments[note.duration], sounding, written, note.staff, order,
            flags & KINDS, bool(tie), marks, look, player, sung.get(note.anchor, ()) if note.lyrics else (),
        )  # fmt: skip
        found[note.measure].append((head(raw), index))
    return found


def _tokens(direction: Direction, lexicon: Lexicon) -> Iterator[Token]:
    for mark in direction.marks:
        found = lexicon.token(mark)
        if found is not None and mark.name not in EVERYONE and (found.name != "words" or found.value):
            yield found
    sound = direction.sound
    if sound is not None:
        for change in sound.changes:
            yield Token("instrument", "instrument-change", "", " ".join((change.sound, change.ensemble)).strip())
        for name, value in sound.plays:
            if name not in ("id", "midi-program"):
                yield Token("technique", name, "", value)
        if sound.get("pizzicato"):
            yield Token("technique", "pizzicato", "", sound.get("pizzicato"))


def everyone(parts: Iterable[Part], lexicon: Lexicon, moments: Moments) -> PartView:
    """What is for all: tempi, repeat signs and endings, jumps, rehearsal marks; of all parts together, each once."""
    parts = tuple(parts)
    count = max((len(part.measures) for part in parts), default=0)
    signs: list[dict[int, int]] = [{} for _ in range(count)]
    sources: list[Direction | Barline] = []
    for part in parts:
        for bar, at, token, source in _for_all(part):
            code = lexicon.sign(Sign(moments[at] if at >= 0 else -1, 0, token))
            if code not in signs[bar]:
                signs[bar][code] = len(sources)
                sources.append(source)
    bars = tuple(_bar([], list(found.items()), 0) for found in signs)
    return PartView(None, bars, States((), ()), tuple(sources))


def _for_all(part: Part) -> Iterator[tuple[int, int, Token, Direction | Barline]]:
    last = len(part.measures) - 1
    for one in part.directions:
        start = part.measures[one.measure].onset
        for mark in one.marks:
            if mark.name in EVERYONE:
                category = "rehearsal mark" if mark.name == "rehearsal" else "repeat"
                yield one.measure, max(0, one.onset - start), Token(category, mark.name, "", " ".join(mark.value.split())), one
        printed = one.named("metronome")
        tempo = one.sound.tempo if one.sound is not None else None
        if tempo is not None or printed:
            rate = f"{tempo.normalize():f}" if tempo is not None else printed[0].get("quarters-per-minute") or printed[0].value
            at = (one.sound_at if tempo is not None and not printed else one.onset) - start
            yield one.measure, max(0, at), Token("tempo", "tempo", "", rate, (("printed", ""),) if printed else ()), one
        if one.sound is not None:
            for name in ("dacapo", "dalsegno", "segno", "coda", "tocoda", "fine", "forward-repeat"):
                if one.sound.get(name) and not one.named(name):
                    yield one.measure, max(0, one.onset - start), Token("repeat", f"sound {name}"), one
    for line in part.barlines:
        at = -1 if line.location == "right" else max(0, line.onset - part.measures[line.measure].onset)
        if line.repeat:
            times = str(line.times) if line.times != 2 else ""
            yield line.measure, at, Token("repeat", "repeat", line.repeat, times), line
        if any(line.ending):
            yield line.measure, at, Token("repeat", "ending", line.ending[1], line.ending[0]), line
        for name in line.marks:
            yield line.measure, at, Token("fermata" if name == "fermata" else "repeat", name), line
        if line.style not in ("", "regular", "none") and not line.repeat and line.measure != last:
            yield line.measure, at, Token("barline", "bar-style", "", line.style), line
