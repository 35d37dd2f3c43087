"""Bars of the tiny notation written as MusicXML 4.0 (partwise). The order of elements is the one of the standard's schema."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from fractions import Fraction
from xml.sax.saxutils import escape

from xmlcheck.pitch import Pitch
from xmlcheck.testing.mini_bars import LENGTHS, Event, Head, Layout, MiniError
from xmlcheck.testing.mini_marks import notations, sign

_CLEFS = {"treble": "G2", "bass": "F4", "alto": "C3", "tenor": "C4", "percussion": "percussion"}
_ORDER = ("divisions", "key", "time", "staves", "clef", "transpose")


def quoted(text: str) -> str:
    """Text for an element or an attribute in double quotes."""
    return escape(text, {'"': "&quot;"})


def measures(layout: Layout, instruments: list[str]) -> str:
    """The <measure> elements of one part. Raises MiniError."""
    events = [event for voice in layout.voices.values() for event in voice]
    divisions = math.lcm(*(value.denominator for event in events for value in (event.length, event.offset)))
    writer = _Writer(divisions, max(event.staff for event in events), instruments)
    lines = []
    for bar in range(layout.bars):
        try:
            lines.append(writer.measure(layout, bar))
        except MiniError as error:
            raise MiniError(f"bar {bar + 1}: {error}") from None
    return "".join(lines)


class _Writer:
    def __init__(self, divisions: int, staves: int, instruments: list[str]) -> None:
        self.divisions, self.staves, self.instruments = divisions, staves, instruments
        self.ending = "1"

    def measure(self, layout: Layout, bar: int) -> str:
        pickup = 0 in layout.cut and layout.meters[0][1] is not None
        implicit = ' implicit="yes"' if pickup and not bar else ""
        lines = [f'<measure number="{bar + (not pickup)}"{implicit}>', self._edge(layout, bar, "left")]
        lines.append(self._opening(layout, bar))
        reached = Fraction(0)
        for name, voice in layout.voices.items():
            events = [event for event in voice if event.bar == bar]
            if reached and events:
                lines.append(f"<backup><duration>{self._ticks(reached)}</duration></backup>")
                reached = Fraction(0)
            for event in events:
                lines.append(self._event(event, name))
                reached = max(reached, event.offset + event.length)
        lines += [self._edge(layout, bar, "right"), "</measure>"]
        return "".join(f"{line}\n" for line in lines if line)

    def _ticks(self, quarters: Fraction) -> int:
        return int(quarters * self.divisions)

    def _opening(self, layout: Layout, bar: int) -> str:
        """The attributes at a bar's start, out of all voices."""
        found: dict[str, list[str]] = {}
        if bar in layout.meters:
            found["time"] = [_time(layout.meters[bar][0])]
        clefs: dict[int, str] = {n: _clef("bass" if n > 1 else "treble", n, self.staves) for n in range(1, self.staves + 1)}
        if bar:
            clefs = {}
        else:
            found["divisions"] = [f"<divisions>{self.divisions}</divisions>"]
            found["key"] = [_key("0")]
            found["staves"] = [f"<staves>{self.staves}</staves>"] if self.staves > 1 else []
        for event in (event for voice in layout.voices.values() for event in voice if event.bar == bar and not event.offset):
            if event.kind == "clef":
                clefs[event.staff] = _clef(event.value, event.staff, self.staves)
            elif event.kind == "key":
                found["key"] = [_key(event.value)]
            elif event.kind == "transpose":
                found["transpose"] = [_transpose(event.value)]
        found["clef"] = [clefs[staff] for staff in sorted(clefs)]
        return _attributes(found)

    def _edge(self, layout: Layout, bar: int, side: str) -> str:
        values = layout.edges.get((bar, side), {})
        if not values:
            return ""
        style, ending, repeat = values.get("barline"), values.get("ending"), values.get("repeat")
        inner = f"<bar-style>{style}</bar-style>" if style else ""
        if ending:
            self.ending = ending if ending != "stop" else self.ending
            inner += f'<ending number="{quoted(self.ending)}" type="{"stop" if ending == "stop" else "start"}"/>'
        inner += f'<repeat direction="{repeat}"/>' if repeat else ""
        return f'<barline location="{side}">{inner}</barline>'

    def _event(self, event: Event, voice: str) -> str:
        if event.kind in ("note", "rest"):
            return "\n".join(self._head(event, voice, number) for number in range(len(event.heads)))
        if event.kind == "skip":
            staff = f"<staff>{event.staff}</staff>" if self.staves > 1 else ""
            return f"<forward><duration>{self._ticks(event.length)}</duration><voice>{voice}</voice>{staff}</forward>"
        if event.kind in ("key", "clef", "transpose"):
            if not event.offset:
                return ""  # stands in the opening
            text = {"key": _key, "transpose": _transpose}[event.kind](event.value) if event.kind != "clef" else ""
            return _attributes({event.kind: [text or _clef(event.value, event.staff, self.staves)]})
        if event.kind == "raw":
            return event.value
        return self._direction(event)

    def _direction(self, event: Event) -> str:
        sound, place, value = "", "above", quoted(event.value)
        if event.kind == "sign":
            inner, place = sign(event.value)
        elif event.kind == "tempo":
            inner, sound = _tempo(event.value)
        elif event.kind == "sound":
            name, colon, text = value.partition(":")
            if not colon:
                raise MiniError(f"sound={event.value}: write sound=attribute:value")
            return f'<sound {name}="{text}"/>'
        else:
            inner = f"<{event.kind}>{value}</{event.kind}>"  # words, rehearsal
        staff = f"<staff>{event.staff}</staff>" if self.staves > 1 else ""
        return f'<direction placement="{place}"><direction-type>{inner}</direction-type>{staff}{sound}</direction>'

    def _head(self, event: Event, voice: str, number: int) -> str:
        head = event.heads[number]
        marks = dict(head.marks)
        attributes = {"print-object": "no"} if event.hidden else {}
        attributes |= {name[1:]: value for name, value in head.marks if name[0] == "@"}
        parts = ["<note" + "".join(f' {name}="{quoted(value)}"' for name, value in attributes.items()) + ">"]
        parts.append("<grace/>" if event.grace else "")
        parts.append("<cue/>" if event.cue else "")
        parts.append("<chord/>" if number else "")
        parts.append(_what(event, head))
        parts.append("" if event.grace else f"<duration>{self._ticks(event.length)}</duration>")
        ends = [kind for kind, on in (("stop", head.stops), ("start", head.starts)) if on]
        parts += [f'<tie type="{kind}"/>' for kind in ends if not event.cue]
        if len(self.instruments) > 1 and event.kind == "note":
            parts.append(f'<instrument id="{quoted(self.instruments[event.instrument])}"/>')
        parts.append(f"<voice>{voice}</voice>")
        if event.type:
            size = f' size="{quoted(marks["size"])}"' if "size" in marks else ""
            parts.append(f"<type{size}>{event.type}</type>" + "<dot/>" * event.dots)
        parts.append(_text("accidental", marks))
        if event.ratio:
            actual, normal = event.ratio
            inner = f"<actual-notes>{actual}</actual-notes><normal-notes>{normal}</normal-notes>"
            parts.append(f"<time-modification>{inner}</time-modification>")
        parts.append(_text("stem", marks))
        shape, _, bracket = marks.get("head", "").partition("/")
        around = ' parentheses="yes"' if bracket else ""
        parts.append(f"<notehead{around}>{quoted(shape)}</notehead>" if shape else "")
        parts.append(f"<staff>{event.staff}</staff>" if self.staves > 1 else "")
        lines = "".join(f'<tied type="{kind}"/>' for kind in ends)
        if not number:
            lines += "".join(f'<tuplet type="{side}" number="{depth}"/>' for side, depth in event.tuplets)
        parts.append(notations(head.marks, lines))
        parts.append(f"<lyric><text>{quoted(marks['lyric'])}</text></lyric>" if "lyric" in marks else "")
        return "".join(parts) + "</note>"


def _text(name: str, marks: dict[str, str]) -> str:
    return f"<{name}>{quoted(marks[name])}</{name}>" if name in marks else ""


def _what(event: Event, head: Head) -> str:
    """The <pitch>, <unpitched> or <rest>."""
    if event.kind == "rest":
        return "<rest/>" if event.type else '<rest measure="yes"/>'
    if head.pitch is None:
        shown = head.shown
        place = f"<display-step>{shown.step}</display-step><display-octave>{shown.octave}</display-octave>" if shown else ""
        return f"<unpitched>{place}</unpitched>"
    return _pitch(head.pitch)


def _pitch(pitch: Pitch) -> str:
    alter = f"<alter>{pitch.alter.normalize():f}</alter>" if pitch.alter else ""
    return f"<pitch><step>{pitch.step}</step>{alter}<octave>{pitch.octave}</octave></pitch>"


def _attributes(found: dict[str, Iterable[str]] | dict[str, list[str]]) -> str:
    inner = "".join(text for name in _ORDER for text in found.get(name, ()))
    return f"<attributes>{inner}</attributes>" if inner else ""


def _time(text: str) -> str:
    beats, slash, unit = text.partition("/")
    inner = f"<beats>{beats}</beats><beat-type>{unit}</beat-type>" if slash else "<senza-misura/>"
    return f"<time>{inner}</time>"


def _key(text: str) -> str:
    found = re.fullmatch(r"([+-]?\d+)(?:/([a-z]+))?", text)
    if not found:
        raise MiniError(f"key={text}: write the number of sharps, flats negative, such as key=-2 or key=3/minor")
    mode = f"<mode>{found[2]}</mode>" if found[2] else ""
    return f"<key><fifths>{int(found[1])}</fifths>{mode}</key>"


def _clef(text: str, staff: int, staves: int) -> str:
    found = re.fullmatch(r"([a-z]+|[A-Z]+\d)(?:([+-])(8|15))?", text)
    place = re.fullmatch(r"([A-Za-z]+)(\d?)", _CLEFS.get(found[1], found[1])) if found else None
    if not found or not place or (found[1].islower() and found[1] not in _CLEFS):
        raise MiniError(f"clef={text}: write {', '.join(_CLEFS)}, or a sign and line such as C3; with -8 or +8 for octaves")
    line = f"<line>{place[2]}</line>" if place[2] else ""
    octave = ""
    if found[2]:
        shift = (1 if found[3] == "8" else 2) * (1 if found[2] == "+" else -1)
        octave = f"<clef-octave-change>{shift}</clef-octave-change>"
    number = f' number="{staff}"' if staves > 1 else ""
    return f"<clef{number}><sign>{place[1]}</sign>{line}{octave}</clef>"


def _transpose(text: str) -> str:
    found = re.fullmatch(r"([+-]?\d+(?:\.\d+)?)(?:/([+-]?\d+))?(?:/([+-]?\d+))?", text)
    if not found:
        raise MiniError(f"transpose={text}: write semitones, or semitones/letter steps, or semitones/letter steps/octaves")
    diatonic = f"<diatonic>{int(found[2])}</diatonic>" if found[2] else ""
    octave = f"<octave-change>{int(found[3])}</octave-change>" if found[3] else ""
    return f"<transpose>{diatonic}<chromatic>{found[1].lstrip('+')}</chromatic>{octave}</transpose>"


def _tempo(text: str) -> tuple[str, str]:
    """The metronome mark and the sound of a tempo."""
    found = re.fullmatch(r"(?:([whqestx])(\.?):)?(\d+(?:\.\d+)?)", text)
    if not found:
        raise MiniError(f"tempo={text}: write quarter notes a minute such as 96, or another length such as q.:60")
    name, value = LENGTHS[found[1] or "q"]
    rate = float(Fraction(found[3]) * value * Fraction(3 if found[2] else 2, 2))
    dot = "<beat-unit-dot/>" if found[2] else ""
    mark = f"<metronome><beat-unit>{name}</beat-unit>{dot}<per-minute>{found[3]}</per-minute></metronome>"
    return mark, f'<sound tempo="{rate:g}"/>'
