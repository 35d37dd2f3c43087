"""What is in force in each bar: meter, key, clef, transposition, tuning. Compared as such, so that saying it again is no change."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from xmlcheck.comparing.moments import Moments
from xmlcheck.model import Clef, Key, Part, Time, Transpose, Tuning

KINDS = ("meter", "key", "clef", "transposition", "tuning")
Force = tuple[tuple[int, Any], ...]
"""Staff (0: all) and value, sorted by staff."""
InBar = tuple[tuple[int, Force], ...]
"""From which tick of the bar on what is in force; the first entry is at 0."""


@dataclass(frozen=True, slots=True)
class States:
    """bars: for each bar, what is in force of each kind, in the order of `kinds`."""

    kinds: tuple[str, ...]
    bars: tuple[tuple[InBar, ...], ...]


def states(part: Part, moments: Moments) -> States:
    """What is in force in each bar of a part."""
    columns = [
        _column(part, part.times, moments, _meter),
        _column(part, part.keys, moments, _key),
        _column(part, part.clefs, moments, _clef),
        _column(part, [one for one in part.transposes if not one.for_part], moments, _interval),
        _column(part, [one for one in part.tunings if one.strings or one.capo], moments, _strings),
    ]
    return States(KINDS, tuple(zip(*columns, strict=True)))


def _column(part: Part, changes: Iterable[Any], moments: Moments, value: Callable[[Any], Any]) -> list[InBar]:
    by_bar: dict[int, list[Any]] = {}
    for change in changes:
        bar = part.measures[change.measure]
        index = change.measure
        if change.onset >= bar.onset + bar.length > bar.onset and index + 1 < len(part.measures):
            index += 1  # said before the barline, in force after it
        by_bar.setdefault(index, []).append(change)
    force: dict[int, Any] = {}
    result: list[InBar] = []
    now: Force = ()
    plain: InBar = ((0, now),)
    for index, bar in enumerate(part.measures):
        found = by_bar.get(index)
        if not found:
            result.append(plain)
            continue
        entries: dict[int, Force] = {0: now}
        for change in sorted(found, key=lambda one: int(one.onset)):
            if change.staff == 0:
                force.clear()
            force[change.staff] = value(change)
            now = _said(force, part.staves)
            entries[max(0, moments[change.onset - bar.onset])] = now
        steps = sorted(entries.items())
        result.append(tuple(step for place, step in enumerate(steps) if not place or step[1] != steps[place - 1][1]))
        plain = ((0, now),)
    return result


def _said(force: dict[int, Any], staves: int) -> Force:
    """One value for all where the staves agree, however the file says it."""
    values = {staff: force.get(staff, force.get(0)) for staff in range(1, staves + 1)}
    if len(set(values.values())) == 1:
        values = {0: values[1]}
    return tuple((staff, value) for staff, value in values.items() if value is not None)


def _meter(time: Time) -> Any:
    return "+".join(f"{beats}/{unit}" for beats, unit in time.beats) or "senza misura"


def _key(key: Key) -> Any:
    if key.fifths is None:
        return tuple((step, str(alter.normalize()), sign) for step, alter, sign in key.alters)
    return key.fifths


def _clef(clef: Clef) -> Any:
    return clef.sign, clef.line, clef.octave


def _interval(one: Transpose) -> Any:
    if one.semitones == Decimal(0) and not one.doubled and not one.diatonic:
        return None  # to sound as written is what a part does that says nothing
    return str(one.semitones.normalize()), one.doubled


def _strings(one: Tuning) -> Any:
    return tuple((number, pitch.name) for number, pitch in one.strings), one.by_line, one.capo
