"""The cue against the picture: declared start, length and hit points, and the tempo map of the approved mock-up.

Fermatas and words such as "rit." have no length here: only tempo changes that the file gives as numbers count, and it is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import PurePosixPath

from xmlcheck.errors import XmlcheckError
from xmlcheck.handing import naming
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.declared import Cue, Declared
from xmlcheck.handing.folder import Item
from xmlcheck.handing.kinds import told
from xmlcheck.handing.mockup import Mockup, read_midi
from xmlcheck.handing.reading import Music
from xmlcheck.handing.timeline import Clock, at_beat, clock, frames
from xmlcheck.handing.values import Disagreement

MIDI = (".mid", ".midi", ".smf")
MOST_PRE_ROLL = 8
"""Bars before the start that a mock-up is taken to count in (ours)."""


def in_sync(one: CueAnswer, items: tuple[Item, ...], declared: Declared, inferred: list[str]) -> Iterator[Disagreement]:
    """What does not agree with declaration and mock-up; what was taken for granted goes into `inferred`."""
    score = one.score or next((file for file in one.group.files if file.tempo.given), next(iter(one.group.files), None))
    if score is None:
        return
    its = clock(score)
    if one.score is None and its is not None:  # the first note of all, not of the part that stands for the score
        clocks = [found for file in one.group.files if (found := clock(file)) is not None]
        its = replace(its, first_note=min((one.first_note for one in clocks if one.first_note is not None), default=None))
        inferred.append(f"Cue {one.group.name}: without a score, {score.name} is held against the picture.")
    cue = one.group.declared or Cue()
    if its is None:
        if cue.length or cue.hits:
            yield told("sync.tempo", "no tempo is given, so the length cannot be told", one.group.name, score.name)
        return
    yield from _declared(one.group.name, score, its, cue, declared, inferred)
    item = _mockup(one, cue, items)
    if item is None:
        if cue.midi:
            yield told("sync.tempo", f"the mock-up {cue.midi} is not in the folder", one.group.name, cue.midi)
        return
    try:
        midi = read_midi(item.data, item.name)
    except XmlcheckError as error:
        inferred.append(f"Cue {one.group.name}: {error}")
        return
    yield from _against(one.group.name, score, its, midi, item.name, cue, declared, inferred)


def _declared(name: str, score: Music, its: Clock, cue: Cue, declared: Declared, inferred: list[str]) -> Iterator[Disagreement]:
    rate, slack = declared.frame_rate, declared.tolerance / declared.frame_rate
    lead = 0.0
    if cue.start_bar:
        place = its.place(cue.start_bar)
        if place is None:
            yield told("sync.start", f"there is no bar {cue.start_bar}, where the picture starts", name, score.name)
        else:
            lead = its.seconds[place]
            if place != cue.pre_roll:
                text = f"{place} bars stand before bar {cue.start_bar}; {cue.pre_roll} are declared as pre-roll"
                yield told("sync.start", text, name, score.name, bar=cue.start_bar)
    if cue.tempo is not None and abs(float(score.tempo.at(0)) - cue.tempo) > 0.01:
        text = f"starts at {float(score.tempo.at(0)):g} quarters a minute; {cue.tempo:g} is declared"
        yield told("sync.tempo", text, name, score.name)
    if cue.length is not None:
        off = its.length - lead - cue.length
        if abs(off) > slack:
            text = f"lasts {its.length - lead:.2f} s, {frames(off, rate)} {'more' if off > 0 else 'less'} than declared"
            yield told("sync.length", text, name, score.name, seconds=round(off, 3), frames=round(off * rate, 1))
    for hit in cue.hits:
        label = f'"{hit.name}"' if hit.name else f"at {hit.at:g} s"
        if not hit.bar:
            inferred.append(f"Cue {name}: the hit point {label} at {hit.at:g} s falls in {its.near(hit.at + lead)}.")
            continue
        here = at_beat(score, its, hit.bar, hit.beat)
        if here is None:
            yield told("sync.hit", f"hit point {label}: no bar {hit.bar} with a beat {hit.beat}", name, score.name)
        elif abs(off := here - lead - hit.at) > slack:
            text = f"hit point {label}: beat {hit.beat} comes {frames(off, rate)} {'late' if off > 0 else 'early'}"
            yield told("sync.hit", text, name, score.name, bar=hit.bar, seconds=round(off, 3), frames=round(off * rate, 1))


def _mockup(one: CueAnswer, cue: Cue, items: tuple[Item, ...]) -> Item | None:
    """The declared file, else the one MIDI file whose name has the cue's number."""
    if cue.midi:
        return next((item for item in items if item.name == cue.midi), None)
    found = [item for item in items if item.suffix in MIDI]
    own = [
        item
        for item in found
        if one.group.name in (naming.cue_number(PurePosixPath(item.name).name), naming.cue_number(item.name))
    ]
    return own[0] if len(own) == 1 else None


def _against(
    name: str, score: Music, its: Clock, midi: Mockup, file: str, cue: Cue, declared: Declared, inferred: list[str]
) -> Iterator[Disagreement]:
    rate, slack = declared.frame_rate, declared.tolerance / declared.frame_rate
    bar = its.quarters[1] - its.quarters[0]
    lead = bar * cue.pre_roll if not cue.start_bar else Fraction(0)
    if midi.first is not None and its.first_note is not None:
        off = midi.first - its.first_note - lead
        if one_of_bars(off, bar) and cue == Cue():
            lead += off
            if off:
                inferred.append(f"Cue {name}: {file} counts in {off / bar} bars before the notation begins.")
        elif abs(late := midi.at(midi.first) - midi.at(its.first_note + lead)) > slack:
            text = (
                f"the first note of {file} comes {frames(late, rate)} {'later' if late > 0 else 'earlier'} than the notation's"
            )
            yield told("sync.start", text, name, score.name, seconds=round(late, 3), frames=round(late * rate, 1))
            lead += off
    start = midi.at(lead)
    offs = [its.seconds[n] - (midi.at(lead + place) - start) for n, place in enumerate(its.quarters)]
    first = next((n for n, off in enumerate(offs) if abs(off) > slack), None)
    if first is not None:
        from_bar = its.bars[max(0, first - 1)]
        end = offs[-1]
        text = f"the tempo leaves that of {file} in this bar: {frames(offs[first], rate)} at its end, {frames(end, rate)} at the end"
        yield told(
            "sync.tempo", text, name, score.name, bar=its.texts[from_bar], seconds=round(end, 3), frames=round(end * rate, 1)
        )
    longer = midi.end - lead - its.quarters[-1]
    last = its.quarters[-1] - its.quarters[-2]
    if longer > Fraction(1, 4) or longer < -2 * last:
        away = midi.at(midi.end) - midi.at(lead + its.quarters[-1])
        text = f"{file} ends {frames(away, rate)} {'after' if away > 0 else 'before'} the notation"
        yield told("sync.length", text, name, score.name, seconds=round(-away, 3), frames=round(-away * rate, 1))


def one_of_bars(off: Fraction, bar: Fraction) -> bool:
    """Whether an offset is a whole number of bars, none to a few."""
    return 0 <= off <= MOST_PRE_ROLL * bar and off % bar == 0
