"""What each player brings and does in each cue, from the plans of the checks: tuning, key or size, changes between cues."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from xmlcheck.finding import PartInfo
from xmlcheck.handing.cue import CueAnswer
from xmlcheck.handing.pairing import Stave
from xmlcheck.partname import fold

SET_UP = ("tuning", "retuning", "key", "size")
"""Kinds of plans that say what is set up before the cue."""


@dataclass(frozen=True, slots=True)
class Role:
    """One part in one cue, and its line in the score. sets: what is set up, in words.

    setting: pitch by string, or one entry for the whole setting; left: the same when the cue is over. seconds: for one change,
    None where no source says.
    """

    cue: str
    stave: Stave
    line: Stave
    instrument: str
    sets: tuple[str, ...]
    setting: Mapping[str, str]
    left: Mapping[str, str]
    counts: Mapping[str, int]
    seconds: float | None = None


def roles(one: CueAnswer) -> dict[str, Role]:
    """The parts of a cue by folded name."""
    found: dict[str, Role] = {}
    for pair in one.pairs:
        for stave in pair.parts:
            found.setdefault(fold(stave.name), role(one.group.name, stave, pair.lines[0]))
    return found


def role(cue: str, stave: Stave, line_: Stave) -> Role:
    """What one part asks for."""
    report, part = stave.music.report, stave.part
    lines = [line for plan in report.plans if plan.part == part.id and plan.kind in SET_UP for line in plan.lines]
    info = stave.music.info(stave.index)
    name = str(info.profile.get("name") or info.instrument or "") if info is not None else ""
    counts = {"halt": 0, "query": 0, "tidy": 0}
    for finding in report.findings:
        if finding.part == part.id and finding.accepted is None:
            counts[finding.grade.value] += 1
    setting: dict[str, str] = {}
    left: dict[str, str] = {}
    for line in lines:
        own = _setting(line.values, line.text)
        for key, value in own.items():
            setting.setdefault(key, value)
            left[key] = value
    sets = tuple(dict.fromkeys(str(line.values.get("short") or line.text) for line in lines))
    return Role(cue, stave, line_, name, sets, setting, left, counts, _seconds(info))


def _seconds(info: PartInfo | None) -> float | None:
    """Seconds of one change by the instrument's profile: of a string, else of a lever."""
    facets = info.profile.get("facets", {}) if info is not None else {}
    for key in ("retuning", "levers"):
        value = facets.get(key, {}).get("seconds", {}).get("value")
        if isinstance(value, (int, float)):
            return float(value)
    return None


def _setting(values: Mapping[str, Any], text: str) -> dict[str, str]:
    """A plan's line as settings that can be held against another cue's."""
    strings = values.get("strings")
    if isinstance(strings, (list, tuple)) and all(isinstance(item, Mapping) and "pitch" in item for item in strings):
        return {str(item.get("string", n)): str(item["pitch"]) for n, item in enumerate(strings, 1)}
    for key in ("size", "setting", "tuning"):
        if values.get(key):
            return {key: str(values[key])}
    return {"setting": text}


def changes(before: Mapping[str, str], after: Mapping[str, str]) -> tuple[str, ...]:
    """What is set otherwise in the later cue: `4: C4 to B3`; strings that only one of them names are left alone."""
    return tuple(f"{key}: {before[key]} to {value}" for key, value in after.items() if key in before and before[key] != value)


def retunes(before: Role, after: Role) -> tuple[str, ...]:
    """The changes from the end of one cue to the start of another. Another size is another instrument, and nothing to retune."""
    return tuple(text for text in changes(before.left, after.setting) if not text.startswith("size:"))
