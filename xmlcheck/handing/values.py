"""What an answer about a handoff holds: frozen values and their JSON form (schema `handoff-1`). A leaf module.

Field names here are the JSON keys; what each key holds: schemas/handoff-1.schema.json.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from enum import Enum
from typing import Any

from xmlcheck.finding import Grade, Report

SCHEMA = "handoff-1"


@dataclass(frozen=True, slots=True)
class Disagreement:
    """One place where the folder does not agree with itself or with what was declared.

    kind: area.slug, one of `kinds.KINDS`. file: path in the folder; bar: the score's own text, to_bar the last of several.
    to: whose desk it belongs on.
    """

    kind: str
    grade: Grade
    cue: str | None
    file: str | None
    part: str | None
    text: str
    bar: str | None = None
    to_bar: str | None = None
    to: str = "copyist"
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class FileEntry:
    """One file of the folder. role: score, part, supplied (a PDF), mock-up (MIDI), other, unreadable.

    line: names of the lines of the score that it was paired with; evidence: by what. counts: open findings of its own check
    by grade, None where it was not checked. view: `octave` where all of it stands octaves from the score.
    """

    name: str
    role: str
    cue: str | None = None
    part: str | None = None
    instrument: str | None = None
    line: tuple[str, ...] = ()
    evidence: str = ""
    view: str = ""
    revision: str | None = None
    note: str = ""
    counts: Mapping[str, int] | None = None
    report: Report | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True)
class CueEntry:
    """One cue: its name as told, the file of its score, bars, and length in seconds of its first pass through repeats."""

    name: str
    title: str
    score: str | None
    bars: int
    seconds: float | None
    lines: tuple[str, ...] = ()
    revision: str | None = None


@dataclass(frozen=True, slots=True)
class Handoff:
    """The answer. inferred: what nobody declared and was taken from the files, in sentences. sheets: name to Markdown text."""

    name: str
    cues: tuple[CueEntry, ...]
    files: tuple[FileEntry, ...]
    disagreements: tuple[Disagreement, ...]
    inferred: tuple[str, ...] = ()
    summary: Mapping[str, Any] = field(default_factory=dict)
    sheets: Mapping[str, str] = field(default_factory=dict, repr=False)

    def counts(self) -> dict[str, int]:
        """Disagreements by grade; the findings of the files' own checks are counted with the files."""
        counts = {"halt": 0, "query": 0, "tidy": 0}
        for item in self.disagreements:
            counts[item.grade.value] += 1
        return counts

    def worst(self) -> Grade | None:
        """The highest grade of all, the files' own findings included; None where there is nothing."""
        grades = [item.grade for item in self.disagreements]
        grades += [worst for one in self.files if one.report is not None and (worst := one.report.worst()) is not None]
        return max(grades, key=lambda grade: grade.rank, default=None)

    def to_dict(self) -> dict[str, Any]:
        """Plain values: schema `handoff-1`. Of each file's own findings what names them; the rest is in its findings file."""
        return {
            "schema": SCHEMA,
            "name": self.name,
            "cues": [plain(cue) for cue in self.cues],
            "files": [{**plain(one, without=("report",)), "findings": _findings(one)} for one in self.files],
            "disagreements": [plain(item) for item in self.disagreements],
            "inferred": list(self.inferred),
            "producer": plain(self.summary),
            "summary": self.counts(),
        }


def _findings(one: FileEntry) -> list[dict[str, Any]]:
    """The open findings of a file's own check, in short."""
    return [
        {
            "id": item.id,
            "rule": item.rule,
            "grade": item.grade.value,
            "part": item.part,
            "bar": item.place.bar,
            "label": item.label,
            "message": item.message,
        }
        for item in (one.report.findings if one.report is not None else ())
        if item.accepted is None
    ]


def plain(value: Any, without: tuple[str, ...] = ()) -> Any:
    """Dataclasses, tuples, enums and mappings as plain values for JSON."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    if isinstance(value, Mapping):
        return {key: plain(item) for key, item in value.items()}
    if hasattr(value, "__dataclass_fields__"):
        return {item.name: plain(getattr(value, item.name)) for item in fields(value) if item.name not in without}
    return value
