"""Repeat signs and endings of which one end is missing, doubled, or left out in some parts."""

from __future__ import annotations

import re
from collections.abc import Iterator

from xmlcheck.plugin import Barline, Hit, Hits, Part, ScoreFacts, rule
from xmlcheck_export.values import Spot

Fault = tuple[Barline | Spot, str, str]


@rule
def bar_repeats(score: ScoreFacts) -> Hits:
    """One hit for each sign without its other end, in the part that has most signs, and one for each part that lacks them."""
    parts = [part for part in score.together if part.barlines or part.notes]
    signs = {part.id: _signs(part) for part in parts}
    if not parts or not any(signs.values()):
        return
    fullest = max(parts, key=lambda part: len(signs[part.id]))
    for place, fault, told in _faults(fullest):
        yield Hit(at=(place,), values={"fault": fault, "told": told}, part=fullest.id)
    with_signs = [part for part in parts if signs[part.id]]
    if len(with_signs) < 2:
        return  # signs in one part only: the file leaves the others to the program
    for part in parts:
        missing = sorted(signs[fullest.id] - signs[part.id])
        if missing:
            bar = part.measures[missing[0][0]] if missing[0][0] < len(part.measures) else part.measures[-1]
            told = f"{len(missing)} repeat signs or endings that other parts have are missing in this part"
            yield Hit(at=(Spot(bar.onset, bar.index),), values={"fault": "repeat not in all parts", "told": told}, part=part.id)


def _signs(part: Part) -> set[tuple[int, str]]:
    """(bar, sign) of each repeat sign and ending of a part."""
    found = set()
    for line in part.barlines:
        if line.repeat:
            found.add((line.measure, line.repeat))
        if line.ending[1] == "start":
            found.add((line.measure, f"ending {line.ending[0]}"))
    return found


def _faults(part: Part) -> Iterator[Fault]:
    open_: Barline | None = None
    forward: Barline | None = None
    group: set[str] = set()
    lines = sorted(part.barlines, key=lambda line: (line.measure, ("left", "middle", "right").index(_location(line))))
    closed = -1
    for line in lines:
        numbers, kind = line.ending
        if kind == "start":
            if open_ is not None:
                yield (
                    open_,
                    f"ending {open_.ending[0]} never closes",
                    f"Ending {open_.ending[0]} has no end before the next begins",
                )
            if line.measure > closed + 1:
                group = set()
            own = set(re.findall(r"\d+", numbers))
            for number in sorted(own & group):
                yield line, f"ending {number} twice", f"Two endings of one passage are for time {number}"
            group |= own
            open_ = line
        elif kind in ("stop", "discontinue"):
            if open_ is None:
                yield line, "ending without beginning", f"Ending {numbers or '?'} ends here and begins nowhere"
            open_, closed = None, line.measure
        if line.repeat == "forward":
            if forward is not None:
                yield (
                    forward,
                    "repeat never closes",
                    "The passage that is to be repeated from here has no end before the next begins",
                )
            forward = line
        elif line.repeat == "backward":
            forward = None
            if open_ is not None and kind not in ("stop", "discontinue") and line.location != "left":
                yield open_, f"ending {open_.ending[0]} never closes", f"Ending {open_.ending[0]} has no end at its repeat sign"
                open_, closed = None, line.measure
    if open_ is not None:
        yield open_, f"ending {open_.ending[0]} never closes", f"Ending {open_.ending[0]} has no end"
    if forward is not None:
        yield forward, "repeat never closes", "The passage that is to be repeated from here has no end"


def _location(line: Barline) -> str:
    return line.location if line.location in ("left", "middle") else "right"
