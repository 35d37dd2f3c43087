"""The tiny notation of `mini` read into bars: which events stand where, with notes split at barlines. Knows no XML."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from xmlcheck import pitch
from xmlcheck.pitch import Pitch
from xmlcheck.testing.mini_bars import LENGTHS, Event, Head, Layout, MiniError, joined, printable

_PITCH = r"[A-G](?:[#]{1,3}|b{1,3})?-?\d+(?:[+-]\d+c)?"
_MARK = r'!(?:`[^`]*`|@?[a-z][a-z-]*(?:=(?:"[^"]*"|[^\s!\]}~"]+))?)'
_HEAD = rf"(?:X(?P<shown>{_PITCH})?|(?P<pitch>{_PITCH}))(?P<own>(?:~|{_MARK})*)"
_TOKEN = re.compile(
    rf"""`(?P<raw>[^`]*)` | "(?P<words>[^"]*)" | <(?P<sign>[a-z0-9-]+)> | (?P<open>\{{[^\s{{}}]+) | (?P<close>\}})
    | (?P<bar>\|!|\|:|:\||\|) | (?P<to>[VS])(?P<number>\d+): | (?P<set>[a-z]+)=(?P<value>"[^"]*"|[^\s}}"]+)
    | (?P<grace>'?)(?P<note>\[[^\[\]]*\]|[rR_]|X(?:{_PITCH})?|{_PITCH})
      (?:\.(?P<count>\d*)(?P<length>[whqestx])(?P<dots>\.*))?(?P<after>(?:~|{_MARK})*)""",
    re.VERBOSE,
)
SETTINGS = ("tempo", "meter", "key", "clef", "transpose", "instrument", "rehearsal", "barline", "ending", "sound")


def lay_out(text: str, instruments: int = 1) -> Layout:
    """The bars of one part. Raises MiniError."""
    layout = Layout()
    voices: dict[str, _Voice] = {}
    voice = None
    for token in list(_tree(_tokens(text))):
        if isinstance(token, re.Match) and token["to"] == "V":
            voice = voices.setdefault(token["number"], _Voice(layout, not voices, instruments))
            continue
        if voice is None:
            voice = voices.setdefault("1", _Voice(layout, True, instruments))
        voice.take(token, _In())
    for name, one in voices.items():
        one.finish()
        layout.voices[name] = one.events
    if not any(layout.voices.values()):
        raise MiniError("no notes")
    next(iter(voices.values())).fill()
    layout.pad(1 + max(event.bar for events in layout.voices.values() for event in events))
    return layout


@dataclass(frozen=True, slots=True)
class _In:
    """What the groups around a token ask for."""

    ratio: Fraction = Fraction(1)
    depth: int = 0
    cue: bool = False
    hidden: bool = False


def _tokens(text: str) -> Iterator[re.Match[str]]:
    at = 0
    while text[at:].strip():
        at += len(text[at:]) - len(text[at:].lstrip())
        found = _TOKEN.match(text, at)
        if found is None or not (found["close"] or re.match(r"[\s}]|\Z", text[found.end() :])):
            raise MiniError(f"{text[at:].split()[0]!r} is not understood")
        yield found
        at = found.end()


def _tree(tokens: Iterator[re.Match[str]], inside: str = "") -> Iterator[Any]:
    """Tokens, with each group as a tuple (head, contents)."""
    for token in tokens:
        if token["open"]:
            yield token["open"][1:], list(_tree(tokens, token["open"]))
        elif not token["close"]:
            yield token
        elif inside:
            return
        else:
            raise MiniError("'}' closes nothing")
    if inside:
        raise MiniError(f"{inside!r} is never closed")


class _Voice:
    """Takes the tokens of one voice in turn and keeps the place; gone when the text has been read."""

    def __init__(self, layout: Layout, first: bool, instruments: int) -> None:
        self.layout, self.first, self.instruments = layout, first, instruments
        self.events: list[Event] = []
        self.waiting: list[Event] = []  # directions and settings before a note or barline
        self.bar, self.offset = 0, Fraction(0)
        self.count, self.type, self.dots = 1, "q", 0
        self.staff, self.instrument = 1, 0
        self.tied: set[Pitch] = set()

    def _error(self, token: str, text: str) -> MiniError:
        return MiniError(f"bar {self.bar + 1}, {token!r}: {text}")

    def take(self, token: Any, inside: _In) -> None:
        if isinstance(token, tuple):
            self._group(token[0], token[1], inside)
        elif token["note"]:
            self._note(token, inside)
        elif token["bar"]:
            self._barline(token["bar"])
        elif token["to"] == "V":
            raise self._error(token[0], "a voice begins outside of all groups")
        elif token["to"]:
            self.staff = int(token["number"])
        elif token["set"]:
            self._setting(token[0], token["set"], token["value"].strip('"'))
        else:
            kind = next(name for name in ("raw", "words", "sign") if token[name] is not None)
            self._wait(kind, token[kind])

    def _group(self, head: str, contents: list[Any], inside: _In) -> None:
        times, start = 1, len(self.events)
        ratio = re.fullmatch(r"([1-9]\d*):([1-9]\d*)", head)
        if ratio:
            inside = replace(inside, ratio=inside.ratio * Fraction(int(ratio[2]), int(ratio[1])), depth=inside.depth + 1)
        elif re.fullmatch(r"x[1-9]\d*", head):
            times = int(head[1:])
        elif head in ("cue", "hidden"):
            inside = replace(inside, cue=inside.cue or head == "cue", hidden=inside.hidden or head == "hidden")
        else:
            raise self._error("{" + head, "a group is {3:2 …}, {x8 …}, {cue …} or {hidden …}")
        for _ in range(times):
            for token in contents:
                self.take(token, inside)
        timed = [n for n in range(start, len(self.events)) if self.events[n].length]
        if ratio and timed:
            for n, side in ((timed[0], "start"), (timed[-1], "stop")):
                self.events[n] = replace(self.events[n], tuplets=(*self.events[n].tuplets, (side, inside.depth)))

    # places

    def _roll(self) -> None:
        """To the next bar, where this one is full."""
        if self.offset and self.offset == self.layout.length(self.bar):
            self.bar, self.offset = self.bar + 1, Fraction(0)

    def _wait(self, kind: str, value: str) -> None:
        self.waiting.append(Event(kind, value=value, staff=self.staff))

    def _flush(self) -> None:
        self.events += [replace(event, bar=self.bar, offset=self.offset) for event in self.waiting]
        self.waiting = []

    def _barline(self, sign: str) -> None:
        if sign == "|:":
            self._roll()
        length = self.layout.length(self.bar)
        holds = f"the bar holds {self.offset} of {length} quarter notes"
        if sign == "|:":
            if self.offset:
                raise self._error(sign, holds)
            self.layout.edge(self.bar, "left", repeat="forward")
            return
        if not self.offset:
            raise self._error(sign, "nothing stands in the bar before it; R is a bar of rest")
        self._flush()
        if length is None or (sign == "|!" and self.offset != length):
            if not self.first:
                raise self._error(sign, "the voice that is written first says where bars end")
            self.layout.cut[self.bar] = self.offset
        elif self.offset != length:
            raise self._error(sign, holds)
        if sign == ":|":
            self.layout.edge(self.bar, "right", repeat="backward")
        self._roll()

    def _setting(self, token: str, name: str, value: str) -> None:
        if name not in SETTINGS:
            raise self._error(token, f"no such setting; there are {', '.join(SETTINGS)}")
        if name == "meter":
            self._meter(token, value)
        elif name == "instrument":
            if not value.isdecimal() or not 1 <= int(value) <= self.instruments:
                raise self._error(token, f"the part has {self.instruments} instrument(s)")
            self.instrument = int(value) - 1
        elif name == "barline" or (name == "ending" and value == "stop"):
            self.layout.edge(self.bar, "right", **{name: value})
        elif name == "ending":
            self._roll()
            self.layout.edge(self.bar, "left", ending=value)
        else:
            self._wait(name, value)

    def _meter(self, token: str, value: str) -> None:
        self._roll()
        meter = re.fullmatch(r"(\d+(?:\+\d+)*)/([1-9]\d*)", value)
        if not self.first or self.offset or not (meter or value == "free"):
            raise self._error(token, "a meter such as 3/4 stands at a bar's start in the voice that is written first")
        length = Fraction(4 * sum(map(int, meter[1].split("+"))), int(meter[2])) if meter else None
        self.layout.meters[self.bar] = (value, length)

    # notes

    def _note(self, token: re.Match[str], inside: _In) -> None:
        what = token["note"]
        event = Event("note", cue=inside.cue, hidden=inside.hidden, staff=self.staff, instrument=self.instrument)
        if token["grace"]:
            self._grace(token, event)
            return
        if token["length"]:
            self.count, self.type, self.dots = int(token["count"] or 1), token["length"], len(token["dots"])
        if what == "R":
            self._roll()
            length = self.layout.length(self.bar)
            if self.offset or length is None or token["length"]:
                raise self._error(token[0], "a bar of rest has no length, stands at a bar's start, and not in free time")
            self._place(token[0], replace(event, kind="rest", heads=(Head(None),), length=length), True)
            return
        name, value = LENGTHS[self.type]
        length = self.count * value * (2 - Fraction(1, 2**self.dots)) * inside.ratio
        ratio = (inside.ratio.denominator, inside.ratio.numerator) if inside.depth else None
        event = replace(event, length=length, type=name, dots=self.dots, ratio=ratio)
        if what in ("r", "_"):
            heads: tuple[Head, ...] = (Head(None, marks=_marks(token["after"])),)
            event = replace(event, kind="rest" if what == "r" else "skip", heads=heads)
        else:
            event = replace(event, heads=self._heads(token))
        self._place(token[0], event, self.count == 1)

    def _grace(self, token: re.Match[str], event: Event) -> None:
        if token["note"] in ("r", "R", "_") or token["count"] or token["dots"]:
            raise self._error(token[0], "a grace note is a pitch or chord, with at most a plain length")
        self._roll()
        self._flush()
        name = LENGTHS[token["length"] or "e"][0]
        heads = tuple(replace(head, stops=False) for head in self._heads(token))
        self.tied |= {head.pitch for head in heads if head.starts and head.pitch}
        self.events.append(replace(event, bar=self.bar, offset=self.offset, heads=heads, type=name, grace=True))

    def _heads(self, token: re.Match[str]) -> tuple[Head, ...]:
        text, after = token["note"].strip("[]"), token["after"]
        found = list(re.finditer(_HEAD, text))
        if not found or re.sub(_HEAD, "", text).strip():
            raise self._error(token[0], "a chord holds pitches with their marks, and one length after the bracket")
        heads = []
        for number, one in enumerate(found):
            common = [mark for mark in _marks(after) if not number or mark[0] == "arpeggiate" or mark[0][0] == "@"]
            marks = (*_marks(one["own"]), *common)
            if one["pitch"]:
                at = pitch.parse(one["pitch"])
                starts = "~" in re.sub(_MARK, "", one["own"] + after)
                heads.append(Head(at, None, starts, at in self.tied, marks))
            else:
                heads.append(Head(None, pitch.parse(one["shown"]) if one["shown"] else None, marks=marks))
        return tuple(heads)

    def _place(self, token: str, event: Event, plain: bool) -> None:
        """The event at this place, in pieces where barlines or printable lengths ask for it."""
        self._roll()
        self._flush()
        pieces: list[Event] = []
        left = event.length
        while left:
            self._roll()
            length = self.layout.length(self.bar)
            here = left if length is None else min(left, length - self.offset)
            left -= here
            if event.ratio and not (plain and here == event.length):
                raise self._error(token, "a note of a tuplet crosses the barline or has a count")
            values = [(here, event.type, event.dots)] if plain and here == event.length else printable(here)
            for value, name, dots in values:
                pieces.append(replace(event, bar=self.bar, offset=self.offset, length=value, type=name, dots=dots))
                self.offset += value
        self.events += joined(pieces) if event.kind == "note" else pieces
        self.tied = {head.pitch for head in event.heads if head.starts and head.pitch}

    def finish(self) -> None:
        """The end of the text: what waits stands here; in free time the bar ends."""
        if self.layout.length(self.bar) is None and self.first:
            self.layout.cut[self.bar] = self.offset
        self._flush()

    def fill(self) -> None:
        """Rests up to the end of the bar."""
        left = (self.layout.length(self.bar) or self.offset) - self.offset
        if left:
            rest = Event("rest", heads=(Head(None),), length=left, staff=self.staff)
            self._place("the end", rest, not self.offset)


def _marks(text: str) -> tuple[tuple[str, str], ...]:
    """Marks as (name, value); the name of XML in backticks is a backtick."""
    marks = []
    for found in re.finditer(_MARK, text):
        name, _, value = found[0][1:].partition("=") if found[0][1] != "`" else ("`", "", found[0][2:-1])
        marks.append((name, value.strip('"')))
    return tuple(marks)
