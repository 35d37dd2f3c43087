r"""A tiny notation for test cases: one line of text becomes real MusicXML bytes (4.0, partwise, valid by its schema).

    score('"pizz." [D3 A3].q!accent E4.e F4 <mf> G4.h | {3:2 A4.e B4 C5} D5.h.')

The grammar is frozen with the cases format `cases-1`: later versions only add to it. Tokens are separated by blanks.

Notes
    D4.q            pitch and length. Pitches: C4 is middle C, Bb3, F##5, E4-50c (a quarter-tone under E4).
    .w .h .q .e .s .t .x   whole, half, quarter, eighth, 16th, 32nd, 64th; `.q.` dotted, `.3h` as long as three halves.
                    A length holds for all that follows in its voice until another one comes; a voice starts with `.q`.
    [D3 A3].h       chord. Each head may have its own marks: [D3!harmonic=/base G3!harmonic=/touching].h
    D4.h~ D4.q      tie. Tied on where the same pitch follows at once, else it leads nowhere (a fault worth testing).
    'C5             grace note (eighth; 'C5.s a 16th), also '[C5 E5]. Its length does not hold for others.
    X.q  XE4.q      unpitched, without and with a place on the staff.
    r.h   R   _.q   rest, rest of a whole bar, and nothing at all (<forward>).
    {3:2 C4.e D4 E4}   three in the time of two. {x8 C4 D4} written out eight times. {cue C4 D4} cue notes. {hidden C4} not
                    printed. Groups nest.
Bars
    Bars fill by the meter, 4/4 where none is given. What crosses a barline is split and tied. The last bar is filled with
    rests, and a part that ends early has bars of rest; a second voice just ends.
    |               a check that a bar is full here. It may be left out.
    |!              the bar ends here though it is not full; a first bar cut so is a pickup (number 0, implicit).
    |:  :|          repeat from here, repeat to here. ending=1 opens a first ending, ending=stop (before the :|) closes it.
Marks on a note: !name or !name=value, by the element names of the standard
    D4!staccato!up-bow   articulations, technical, ornaments, other notations: !fermata !stopped !trill-mark !arpeggiate
    !slur=start !slur=stop !slur=start/2 !glissando=start !tied=let-ring     type, and number where several overlap
    !tremolo=3  !tremolo=3/start   !fingering=2 !string=1 !fret=5 !pluck=p    value
    !bend=-1 !bend=1/release   !arrow=up   !hole=half   !other-technical="half hole"
    !harmonic  !harmonic=natural  !harmonic=artificial/touching   kind and what the head is: base, touching, sounding
    !head=x  !head=normal/parentheses   !accidental=natural   !size=cue   !stem=none   !lyric=la
    !@dynamics=70    any attribute of <note>: !@print-object=no !@attack=-3
    !`<technical>…</technical>`   anything else inside <notations>
Before a note
    "pizz."         words, above.   <mf>   dynamics.   <cresc> <dim> <end>   hairpins.   <ped> <ped-end>   pedal.
    <8va> <8vb> <15ma> <15mb> <8-end>   ottava lines: they change no pitch, write what sounds.   <segno> <coda> <damp-all> …
    `<direction>…</direction>`   any XML that may stand in a measure.
    Before a `|` these stand at the end of the bar, at the end of the text where the music ends.
Settings: name=value, from here on
    tempo=120  tempo=q.:60      quarters (or another length) a minute, printed and played
    meter=3/4  meter=3+2/8  meter=free   at a bar's start, in the voice that is written first. In free time `|` ends the bar.
    key=-2  key=3/minor         sharps (+) or flats (-)
    clef=bass  clef=treble-8  clef=C3   treble bass alto tenor percussion, octave up +8 or down -8; or sign and line
    transpose=-2/-1  transpose=0/0/-1    written to sounding: semitones / letter steps / octaves
    instrument=2                the part's second instrument plays
    rehearsal=A   barline=light-heavy   sound=dacapo:yes (any attribute of <sound>)
Voices and staves
    V1: C5.w | D5.w   V2: E4.h F4 | G4.w     each voice goes on where it stopped; all start in the first bar.
    S2:             from here on this voice is on staff 2 (which has a bass clef unless it is given another).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from xmlcheck.testing.mini_bars import MiniError
from xmlcheck.testing.mini_parse import lay_out
from xmlcheck.testing.mini_xml import measures, quoted

__all__ = ["Instrument", "MiniError", "Part", "part", "score"]

_HEAD = (
    '<?xml version="1.0" encoding="{encoding}"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n'
    '<score-partwise version="4.0">\n'
)


@dataclass(frozen=True, slots=True)
class Instrument:
    """One score-instrument: its name, sound id of the standard's list, and MIDI program from 1."""

    name: str
    sound: str = ""
    program: int | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One part: its notes in the tiny notation, and what the part list says. id "" is P1, P2 … in order.

    Without `instruments` there is one, with the part's name, sound and program.
    """

    notes: str
    name: str = "Music"
    id: str = ""
    sound: str = ""
    abbreviation: str = ""
    program: int | None = None
    instruments: tuple[Instrument, ...] = ()


def part(table: Mapping[str, Any]) -> Part:
    """The part of a table with the keys of `Part`; `instruments` is a list of tables. Raises MiniError for an unknown key."""
    unknown = sorted(set(table) - set(Part.__dataclass_fields__))
    if unknown or "notes" not in table:
        raise MiniError(f"unknown key {unknown[0]!r} of a part" if unknown else "a part needs 'notes'")
    instruments = tuple(Instrument(**item) for item in table.get("instruments", ()))
    return Part(**{**table, "instruments": instruments})


def score(parts: str | Part | Iterable[Part], *, title: str = "", header: str = "", encoding: str = "UTF-8") -> bytes:
    """MusicXML bytes of one part, given by its notes, or of several.

    header: XML that stands before the part list (identification, defaults …). Raises MiniError where the notation does not
    say what it must: it names the part, the bar and the token.
    """
    if isinstance(parts, str):
        parts = Part(parts)
    every = [parts] if isinstance(parts, Part) else list(parts)
    layouts = []
    for item in every:
        with _blamed(item):
            layouts.append(lay_out(item.notes, len(item.instruments) or 1))
    bars = max((layout.bars for layout in layouts), default=0)
    listed, bodies = [], []
    for number, (item, layout) in enumerate(zip(every, layouts, strict=True), 1):
        layout.pad(bars)
        id = item.id or f"P{number}"
        instruments = item.instruments or (Instrument(item.name, item.sound, item.program),)
        ids = [f"{id}-I{n}" for n, _ in enumerate(instruments, 1)]
        listed.append(_listed(id, item, instruments, ids))
        with _blamed(item):
            bodies.append(f'<part id="{quoted(id)}">\n{measures(layout, ids)}</part>\n')
    work = f"<work><work-title>{quoted(title)}</work-title></work>\n" if title else ""
    part_list = f"<part-list>\n{''.join(listed)}</part-list>\n"
    text = _HEAD.format(encoding=encoding) + work + header + part_list + "".join(bodies) + "</score-partwise>\n"
    return text.encode(encoding)


@contextmanager
def _blamed(item: Part) -> Iterator[None]:
    try:
        yield
    except MiniError as error:
        raise MiniError(f"part {item.name!r}: {error}") from None


def _listed(id: str, item: Part, instruments: tuple[Instrument, ...], ids: list[str]) -> str:
    """The <score-part> of a part."""
    lines = [f'<score-part id="{quoted(id)}"><part-name>{quoted(item.name)}</part-name>']
    if item.abbreviation:
        lines.append(f"<part-abbreviation>{quoted(item.abbreviation)}</part-abbreviation>")
    for key, one in zip(ids, instruments, strict=True):
        sound = f"<instrument-sound>{quoted(one.sound)}</instrument-sound>" if one.sound else ""
        name = f"<instrument-name>{quoted(one.name)}</instrument-name>"
        lines.append(f'<score-instrument id="{quoted(key)}">{name}{sound}</score-instrument>')
    for key, one in zip(ids, instruments, strict=True):
        if one.program is not None:
            lines.append(f'<midi-instrument id="{quoted(key)}"><midi-program>{one.program}</midi-program></midi-instrument>')
    return "".join(lines) + "</score-part>\n"
