"""Sheets as Markdown: one page a player in advance, and the producer's summary with the order of cues that retunes least."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from xmlcheck.config import Player
from xmlcheck.finding import Finding, Grade
from xmlcheck.handing.bring import Role, retunes, roles
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.declared import Declared
from xmlcheck.handing.order import least
from xmlcheck.handing.reads import notation
from xmlcheck.handing.timeline import timecode
from xmlcheck.handing.values import Disagreement
from xmlcheck.model import CUE, HIDDEN, SILENT
from xmlcheck.output.terminal import place_text
from xmlcheck.player_lines.terms import explained

PAGE = 56
"""Lines of a page (ours)."""
HARDEST = 3
_SAFE = re.compile(r"[^\w.-]+")


def producer(cues: Sequence[CueAnswer], declared: Declared, found: Sequence[Disagreement], names: bool) -> dict[str, Any]:
    """The summary as plain values: by cue and part what to bring; changes between cues; the order that retunes least."""
    by_cue = {one.group.name: roles(one) for one in cues}
    keys = list(by_cue)
    costs = [[_cost(by_cue[a], by_cue[b]) if a != b else 0.0 for b in keys] for a in keys]
    cost, order, exact = least(costs)
    usual = sum(costs[n][n + 1] for n in range(len(keys) - 1))
    players = {}
    for name, cue_roles in by_cue.items():
        players[name] = [
            {
                "part": role.stave.name,
                "player": _player(role, declared, names),
                "instrument": role.instrument or None,
                "brings": list(role.sets) + _brings(role, declared),
                "doublings": [text for one in _players(role, declared) for text in one.doublings],
                "reads": _reads(role, declared),
                "pass": _takes(role, declared),
                "findings": dict(role.counts),
            }
            for role in cue_roles.values()
        ]
    return {
        "pitch_standard": declared.pitch_standard,
        "recording": declared.recording or None,
        "cues": [
            {
                "name": one.group.name,
                "start": timecode(one.group.declared.start, declared.frame_rate)
                if one.group.declared is not None and one.group.declared.start is not None
                else None,
                "players": players[one.group.name],
                "open": [_open_text(item) for item in found if item.cue == one.group.name and item.grade is not Grade.TIDY],
            }
            for one in cues
        ],
        "changes": [
            {"from": a, "to": b, "part": role.stave.name, "changes": list(told), "seconds": _time(role, told)}
            for a, b in pairwise(keys)
            for key, role in by_cue[b].items()
            if key in by_cue[a] and (told := retunes(by_cue[a][key], role))
        ],
        "order": {
            "cues": [keys[n] for n in order],
            "retunings": cost,
            "retunings_in_given_order": usual,
            "exact": exact,
            "counted": "strings, levers or settings that differ from the end of one cue to the start of the next",
        },
    }


def _open_text(item: Disagreement) -> str:
    where = f", bar {item.bar}" if item.bar is not None else ""
    return f"{item.part}{where}: {item.text}" if item.part else item.text


def _time(role: Role, told: Sequence[str]) -> float | None:
    return None if role.seconds is None else round(role.seconds * len(told), 1)


def _cost(before: Mapping[str, Role], after: Mapping[str, Role]) -> float:
    return float(sum(len(retunes(before[key], role)) for key, role in after.items() if key in before))


def _players(role: Role, declared: Declared) -> tuple[Player, ...]:
    return tuple(declared.players_of(role.stave.name).values())


def _player(role: Role, declared: Declared, names: bool) -> str | None:
    told = [one.name or key for key, one in declared.players_of(role.stave.name).items()]
    return ", ".join(told) if names and told else None


def _brings(role: Role, declared: Declared) -> list[str]:
    return [f"{kind}: {', '.join(items)}" for one in _players(role, declared) for kind, items in one.brings.items()]


def _reads(role: Role, declared: Declared) -> str | None:
    """What the players read, in words: `staff (treble-8 clef)`, `numbered notation, 1 = D`."""
    return "; ".join(dict.fromkeys(text for one in _players(role, declared) if (text := notation(one)))) or None


def _takes(role: Role, declared: Declared) -> list[int]:
    return sorted({one.take for one in _players(role, declared) if one.take})


def producer_sheet(title: str, summary: Mapping[str, Any]) -> str:
    """The producer's summary as Markdown."""
    lines = [f"# {title}: for the session", ""]
    if summary["pitch_standard"]:
        lines += [f"Pitch standard: A4 = {summary['pitch_standard']:g} Hz", ""]
    if summary["recording"]:
        lines += [f"Recording: {summary['recording']}", "", *_passes(summary)]
    for cue in summary["cues"]:
        lines += [f"## Cue {cue['name']}" + (f" ({cue['start']})" if cue["start"] else ""), ""]
        lines += ["| part | player | instrument | to set up or bring | halt | query | tidy |", "|---|---|---|---|---|---|---|"]
        for one in cue["players"]:
            brings = "; ".join(map(_cell, [*one["brings"], *(f"also {text}" for text in one["doublings"])]))
            count = one["findings"]
            lines.append(
                f"| {_cell(one['part'])} | {_cell(one['player'] or '')} | {_cell(one['instrument'] or '?')} | {brings} "
                f"| {count['halt']} | {count['query']} | {count['tidy']} |"
            )
        lines += ["", *(f"- open: {_cell(text)}" for text in cue["open"]), ""]
    lines += ["## Between cues, in the given order", ""]
    lines += [
        f"- {one['from']} to {one['to']}, {_cell(one['part'])}: {len(one['changes'])} to change, "
        + ("the player says how long" if one["seconds"] is None else f"about {one['seconds']:g} s by the profile")
        + f" ({_cell('; '.join(one['changes']))})"
        for one in summary["changes"]
    ] or ["Nothing is retuned."]
    order = summary["order"]
    lines += ["", "## Order of cues", ""]
    lines.append(
        f"{', '.join(order['cues'])}: {order['retunings']:g} changes, {order['retunings_in_given_order']:g} in the given order"
        + ("." if order["exact"] else "; more than 12 cues, so a good order and perhaps not the least.")
    )
    return "\n".join(lines) + "\n"


def _passes(summary: Mapping[str, Any]) -> list[str]:
    """Which parts are recorded in which pass, over all cues; empty where no pass is declared."""
    found: dict[int, dict[str, None]] = {}
    for cue in summary["cues"]:
        for one in cue["players"]:
            for take in one["pass"]:
                found.setdefault(take, {})[_cell(one["part"])] = None
    return [*(f"- pass {take}: {', '.join(parts)}" for take, parts in sorted(found.items())), *([""] if found else [])]


def player_sheets(cues: Sequence[CueAnswer], declared: Declared, names: bool) -> dict[str, str]:
    """One advance sheet a part name, over all cues: file name to Markdown."""
    found: dict[str, list[tuple[CueAnswer, Role]]] = {}
    for one in cues:
        for key, role in roles(one).items():
            found.setdefault(key, []).append((one, role))
    return {f"{_SAFE.sub('-', own[0][1].stave.name).strip('-')}.md": _sheet(own, declared, names) for own in found.values()}


def _sheet(own: Sequence[tuple[CueAnswer, Role]], declared: Declared, names: bool) -> str:
    first = own[0][1]
    player = _player(first, declared, names)
    lines = [f"# {_cell(first.stave.name)}" + (f", {_cell(player)}" if player else ""), ""]
    pitch = (
        f"A4 = {declared.pitch_standard:g} Hz"
        if declared.pitch_standard
        else dict(first.stave.music.header.fields).get("pitch standard")
    )
    own_words = {
        "Instrument": first.instrument or "not recognised",
        "Pitch standard": pitch or "not said: which?",
        "Also": ", ".join(text for one in _players(first, declared) for text in one.doublings),
        "Brings": "; ".join(_brings(first, declared)),
        "Reads": _reads(first, declared) or "",
        "Pass": ", ".join(map(str, _takes(first, declared))),
    }
    told = [f"{key}: {_cell(text)}" for key, text in own_words.items() if text]
    lines += [*(f"{text}  " for text in told[:-1]), told[-1]]  # two blanks break the line in Markdown
    questions: list[str] = []
    for one, role in own:
        title = role.stave.music.header.title
        seconds = role.stave.music.seconds
        lines += ["", f"## Cue {one.group.name} {_cell(title)}" + (f", {seconds:.0f} s" if seconds else ""), ""]
        lines += [f"- {_cell(text)}" for text in role.sets]
        words = _words(role)
        lines += [f"- asked for in words: {_cell(', '.join(words))}"] if words else []
        lines += [f"- most notes a second: {text}" for text in _hardest(role)]
        questions += [f"Cue {one.group.name}, {_question(item)}" for item in _open(role)]
    if questions:
        lines += ["", "## Questions", "", *(f"- {_cell(text)}" for text in questions)]
    if len(lines) > PAGE:
        left = len(lines) - PAGE + 1
        lines = [*lines[: PAGE - 1], f"- and {left} more; the findings files have all"]
    return "\n".join(lines) + "\n"


def _open(role: Role) -> Iterator[Finding]:
    for item in role.stave.music.report.findings:
        if item.part == role.stave.part.id and item.accepted is None and item.grade is not Grade.TIDY:
            yield item


def _question(item: Finding) -> str:
    """A finding as a question: its place, what is the matter, and whether it can be played."""
    where = place_text(item.place)
    return f"{where + ': ' if where else ''}{item.message.rstrip('.')}. How would you play it?"


def _words(role: Role) -> list[str]:
    """Words of the part's line in the score, where tempo words stand in the top line only; at most ten, in order, technique words
    explained."""
    found: dict[str, None] = {}
    for direction in role.line.part.directions:
        tempo = direction.sound is not None and direction.sound.tempo is not None
        if direction.words and not tempo:
            found.setdefault(direction.words)
    info = role.stave.music.info(role.stave.index)
    return [explained(info, text) if info is not None else text for text in list(found)[:10]]


def _hardest(role: Role) -> list[str]:
    """The bars with the most attacks a second: a plain measure of where to look first, no verdict."""
    stave, tempo = role.stave, role.stave.music.tempo
    onsets: dict[int, set[int]] = {}
    for note in stave.part.notes:
        if not note.flags & (CUE | HIDDEN | SILENT) and not note.tie_stop:
            onsets.setdefault(note.measure, set()).add(note.onset)
    rated = []
    for index, places in onsets.items():
        bar = stave.part.measures[index]
        seconds = tempo.between(bar.onset, bar.onset + bar.length)
        rated.append((-(len(places) / seconds if seconds > 0 else 0.0), index))
    told = [f"bar {stave.part.measures[index].text} ({-rate:.1f})" for rate, index in sorted(rated)[:HARDEST]]
    return [", ".join(told)] if told else []


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "/")
