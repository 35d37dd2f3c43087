"""Numbers of open strings under the notes, from the report's tuning plan: only where exactly one string has the note.

A note that no open string has is pressed, and which string is the player's choice; so is the choice between two strings of one
pitch. There is no number then. Strings that are retuned on a repeat have two pitches for one written bar, and get none.
"""

from __future__ import annotations

from collections.abc import Iterator

from xmlcheck.finding import PlanLine, Report
from xmlcheck.model import Note, Part
from xmlcheck.pitch import parse
from xmlcheck.player_lines.line import Line, chords, line_at
from xmlcheck.player_lines.wish import Wish
from xmlcheck.player_lines.words import said


def string_lines(report: Report, part: Part, notes: tuple[Note, ...], wish: Wish) -> Iterator[Line]:
    """A line that says what the numbers are, and a number under each note that has one."""
    plans = [plan.lines for plan in report.plans if plan.part == part.id and plan.kind in ("tuning", "retuning")]
    lines = next((lines for lines in plans if lines and _strings(lines[0])), ())
    if not lines:
        return
    told = False
    for together in chords(notes):
        tuning = _tuning(lines, together[0].anchor)
        numbers = [_number(tuning, note) for note in together]
        if all(numbers):
            if not told:
                yield line_at(part, together[0], said("strings", wish.language))
                told = True
            yield line_at(part, together[0], " ".join(numbers), below=True)


def _strings(line: PlanLine) -> dict[str, int]:
    """The opening tuning: cents by what players call the string; empty where they call it by its pitch."""
    strings = line.values.get("strings")
    if not isinstance(strings, (list, tuple)):
        return {}
    found = {str(one["string"]): str(one["pitch"]) for one in strings}
    if all(name[:1] in "ABCDEFG" for name in found):
        return {}
    return {name: parse(pitch).cents for name, pitch in found.items()}


def _tuning(lines: tuple[PlanLine, ...], anchor: int) -> dict[str, int]:
    """What the strings are tuned to at the element of this anchor."""
    tuning = _strings(lines[0])
    for line in lines[1:]:
        for change in line.values.get("changes", ()):
            for name in change["strings"]:
                if line.values.get("turn", 1) != 1:
                    tuning.pop(name, None)
                elif name in tuning and line.place.anchor is not None and line.place.anchor < anchor:
                    tuning[name] += round(change["semitones"] * 100)
    return tuning


def _number(tuning: dict[str, int], note: Note) -> str:
    own = [name for name, cents in tuning.items() if note.sounding is not None and note.sounding.cents == cents]
    return own[0] if len(own) == 1 else ""
