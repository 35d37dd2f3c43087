"""Plans as a player reads them: the opening tuning, and each retuning at its bar, strings named and counted as players do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from xmlcheck.plugin import Chair, Pitch, Place, Plan, PlanLine, Profile, Tone, Vouched
from xmlcheck_zither.facets import Retuning, StringSet
from xmlcheck_zither.harps import LeverPlan, PedalPlan
from xmlcheck_zither.naming import Move
from xmlcheck_zither.planning.pedals import LETTERS
from xmlcheck_zither.zithers import Span, TuningPlan


def plan_id(chair: Chair) -> str:
    """The id of a chair's plan: one a chair."""
    return f"tuning-{chair.name}"


def place_of(chair: Chair, tone: Tone) -> Place:
    """Where a tone stands, with the anchor before which a line can be inserted."""
    place = chair.facts.places(chair.part).place(tone.measure, tone.onset)
    voice = tone.voice if chair.part.voiced_directions else None
    return replace(place, anchor=tone.anchor, staff=tone.staff if chair.part.staves > 1 else None, voice=voice)


def vouched(profile: Profile, values: Mapping[str, Vouched | None]) -> tuple[str, ...]:
    """What a plan rests on, in words: `retuning.up (documented: ...)`."""
    found = []
    for name, value in values.items():
        if value is not None:
            sources = "; ".join(profile.source(key) for key in value.cite)
            found.append(f"{name} ({value.certainty.value}{': ' + sources if sources else ''})")
    return tuple(found)


def tension(semitones: float) -> float:
    """How many times the tension of a string tuned up by so many semitones at the same length (Mersenne's law: 2^(n/6))."""
    return float(2 ** (semitones / 6))


def caution(moves: Sequence[Move], retuning: Retuning | None) -> str:
    """What to keep in mind where strings go up; empty where none does."""
    raised = [move for move in moves if move.cents > 0]
    if not raised or retuning is None:
        return ""
    names = ", ".join(name for move in raised for name in move.strings)
    if retuning.kind.value == "bridge":
        load = "a moved bridge does not load the string; a tightened one does"
    else:
        most = max(move.cents for move in raised) / 100
        load = f"{most:g} semitones up is {tension(most):.2f} times the tension"
    return f"Strings that go up ({names}): {load}. The player, and the maker's limits, decide."


def zither_plan(chair: Chair, plan: TuningPlan, strings: StringSet, retuning: Retuning | None, profile: Profile) -> Plan:
    """The plan of a zither: the opening line and a line for each retuning."""
    first = plan.spans[0]
    usual = {index: item.cents for index, item in enumerate(strings.usual.pitches)}
    moves = plan.names.moves(usual, first.tuning)
    lines = [
        PlanLine(
            place_of(chair, _first_tone(first)),
            opening_text(plan, strings, moves),
            _opening_values(plan, strings, moves, retuning),
        )
    ]
    for before, span in zip(plan.spans, plan.spans[1:], strict=False):
        changed = plan.names.moves(before.tuning, span.tuning)
        if changed:
            lines.append(_change_line(chair, before, span, changed, strings, retuning))
    named: dict[str, Vouched | None] = {"string_set.tunings": plan.named or strings.usual}
    if retuning is not None:
        named |= {"retuning.up": retuning.up, "retuning.down": retuning.down}
        if len(lines) > 1:
            named |= {"retuning.in_cue": retuning.in_cue, "retuning.seconds": retuning.seconds}
    kind = "retuning" if len(lines) > 1 else "tuning"
    return Plan(plan_id(chair), kind, chair.part.id, tuple(lines), vouched(profile, named))


def opening_text(plan: TuningPlan, strings: StringSet, moves: Sequence[Move]) -> str:
    """`Tuning: from D major pentatonic, strings 4, 9, 14, 19: F# -> G. 1 D6, 2 B5 ... (string 1 is ...)`."""
    listed = plan.names.list_text(plan.spans[0].tuning)
    return f"{_head(plan, strings, moves)}. {listed} ({strings.counted.value})"


def _head(plan: TuningPlan, strings: StringSet, moves: Sequence[Move]) -> str:
    """The tuning by its name, or by what differs from the usual one."""
    if plan.named is not None:
        return f"Tuning: {plan.named.title}"
    shift = {move.cents for move in moves}
    if len(shift) == 1 and sum(len(move.strings) for move in moves) == len(strings.usual.pitches):
        cents = shift.pop()
        step = f"{abs(cents) / 100:g} semitone{'' if abs(cents) == 100 else 's'} {'up' if cents > 0 else 'down'}"
        return f"Tuning: {strings.usual.title}, all strings {step}"
    return f"Tuning: from {strings.usual.title}, " + "; ".join(move.text for move in moves)


def _opening_values(plan: TuningPlan, strings: StringSet, moves: Sequence[Move], retuning: Retuning | None) -> dict[str, Any]:
    tuning = plan.spans[0].tuning
    usual = strings.usual.pitches
    return {
        "kind": "opening",
        "tuning": plan.named.title if plan.named is not None else None,
        "usual": strings.usual.title,
        "short": _head(plan, strings, moves),
        "strings": [
            {"string": plan.names.string(index), "pitch": plan.names.pitch(tuning[index], usual[index]).name}
            for index in range(len(usual))
        ],
        "changes": [move.values for move in moves],
        "counted": strings.counted.value,
        "effort": plan.effort,
        "least": plan.bound,
        "exact": plan.exact,
        "asked": plan.asked,
        "caution": caution(moves, retuning),
    }


def _change_line(
    chair: Chair, before: Span, span: Span, moves: tuple[Move, ...], strings: StringSet, retuning: Retuning | None
) -> PlanLine:
    last, following = before.struck[-1].uses[-1], span.struck[0].uses[0]
    count = sum(len(move.strings) for move in moves)
    each = retuning.seconds.value if retuning is not None and retuning.seconds is not None else None
    place, until = place_of(chair, last.tone), place_of(chair, following.tone)
    text = "; ".join(move.text for move in moves)
    short = each is not None and count * each > span.rest
    beside = short and span.given is None
    if beside:
        when = f"before bar {until.bar}, beside the other hand"
    else:
        when = f"bar {_bar_of_rest(chair, last.tone)}, rest of {seconds_text(span.rest)} s"
    if following.turn > 1:
        when += " (on the repeat)"
    values = {
        "kind": "retune",
        "rest_seconds": round(span.rest, 2),
        "seconds": round(count * each, 1) if each is not None else None,
        "count": count,
        "beside": beside,
        "short": short and not beside,
        "changes": [move.values for move in moves],
        "until_bar": until.bar,
        "until_beat": until.beat,
        "turn": following.turn,
        "counted": strings.counted.value,
        "caution": caution(moves, retuning),
    }
    return PlanLine(place, f"{when}: {text}", values)


def _bar_of_rest(chair: Chair, last: Tone) -> str | None:
    """The bar in which the rest after a tone begins."""
    bars = chair.part.measures
    index = next((bar.index for bar in bars if bar.onset <= last.end < bar.onset + bar.length), last.measure)
    return chair.facts.places(chair.part).place(index, last.end).bar


def seconds_text(value: float) -> str:
    """`20`, `6.5`, `4`."""
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}".removesuffix(".0")


def _first_tone(span: Span) -> Tone:
    return span.struck[0].uses[0].tone


def pedal_text(setting: Sequence[int | None], left: str, right: str) -> str:
    """`D C# Bb | E F# G A`, the order of the pedals; a letter that no note needs is given without a sign."""
    names = {letter: letter + _sign(position) for letter, position in zip(LETTERS, setting, strict=True)}
    return f"{' '.join(names[letter] for letter in left)} | {' '.join(names[letter] for letter in right)}"


def _sign(position: int | None) -> str:
    return "" if not position else "#" * position or "b" * -position


def pedal_lines(chair: Chair, plan: PedalPlan, left: str, right: str) -> tuple[PlanLine, ...]:
    """The setting to begin with. Harpists mark the changes themselves, so they stand in the values alone."""
    tone = plan.chords[0].uses[0].tone
    opening = plan.written.way.opening
    text = f"Pedals: {pedal_text(opening, left, right)}"
    values = {
        "kind": "opening",
        "pedals": {letter: position for letter, position in zip(LETTERS, opening, strict=True) if position is not None},
        "changes": plan.written.way.changes,
        "fewest": plan.free.way.changes,
        "exact": plan.free.way.exact,
        "counted": f"left foot {' '.join(left)}, right foot {' '.join(right)}",
    }
    return (PlanLine(place_of(chair, tone), text, values),)


def lever_lines(chair: Chair, plan: LeverPlan, counted: str, lever_harp: bool) -> tuple[PlanLine, ...]:
    """The base tuning, the levers to begin with, and each change at its bar."""
    names = [item.name for item in plan.tuning.pitches]
    opening = plan.reading.way.opening
    if lever_harp:
        up = [name for name, position in zip(names, opening, strict=True) if position]
        text = f"Tuning with all levers down: {plan.tuning.title}. Levers up: {' '.join(up) or 'none'}"
    else:
        set_ = [position_name(plan, string, position) for string, position in enumerate(opening) if position is not None]
        text = f"Levers: {' '.join(set_)}"
    first: dict[str, Any] = {"kind": "opening", "tuning": plan.tuning.title, "counted": counted, "setting": text}
    lines = [PlanLine(place_of(chair, plan.chords[0].uses[0].tone), text, first)]
    due: dict[int, list[str]] = {}
    late = {change.chord for change, _ in plan.reading.late_changes()}
    for change in plan.reading.moved:
        said = (
            f"{names[change.item]} {'up' if change.after else 'down'}"
            if lever_harp
            else (f"{position_name(plan, change.item, change.before)} -> {position_name(plan, change.item, change.after)}")
        )
        due.setdefault(change.chord, []).append(said)
    for chord, together in due.items():
        if chord in late:  # no hand and no time: a finding says so, and the player's copy does not ask for it
            continue
        struck = plan.chords[chord]
        place = place_of(chair, struck.uses[0].tone)
        again = " (on the repeat)" if struck.uses[0].turn > 1 else ""
        noun = "lever" if len(together) == 1 else "levers"
        values: dict[str, Any] = {"kind": "retune", "levers": together, "turn": struck.uses[0].turn}
        lines.append(PlanLine(place, f"bar {place.bar}{again}: {noun} {', '.join(together)}", values))
    return tuple(lines)


def position_name(plan: LeverPlan, string: int, position: int) -> str:
    """A course in one position of its levers: `E4-50c`, `F#4`."""
    row = plan.board.rows[string]
    natural = Pitch(row.letter, Decimal(0), row.octave)
    return Pitch(row.letter, Decimal(row.pitches[position] - natural.cents) / 100, row.octave).name
