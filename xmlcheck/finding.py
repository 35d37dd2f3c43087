"""Findings: the waist of the tool. Frozen values and their JSON form (schema `findings-1`). A leaf module.

Everything above makes findings; everything below (annotation, terminal, report, comparison) eats them and needs no plugin.
Field names here are the JSON keys; `docs` of each key: schemas/findings-1.schema.json.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import Enum
from typing import Any, TypeVar

SCHEMA = "findings-1"
T = TypeVar("T")


class Grade(Enum):
    """How much a finding weighs. Ordered: tidy < query < halt."""

    TIDY = "tidy"
    QUERY = "query"
    HALT = "halt"

    @property
    def rank(self) -> int:
        return ("tidy", "query", "halt").index(self.value)


class Certainty(Enum):
    """Who vouches for a value. Ordered from weakest: conflicting < memory < player < documented."""

    CONFLICTING = "conflicting"
    MEMORY = "memory"
    PLAYER = "player"
    DOCUMENTED = "documented"

    @property
    def rank(self) -> int:
        return ("conflicting", "memory", "player", "documented").index(self.value)

    @property
    def cap(self) -> Grade:
        """The highest grade of a finding that rests on a value of this certainty."""
        return Grade.HALT if self.rank >= Certainty.PLAYER.rank else Grade.QUERY


@dataclass(frozen=True, slots=True)
class Place:
    """Where a finding is, in a reader's words and for machines.

    measure: the file's own bar text. bar: the same, told apart where it repeats ("1 (2nd)"). measure_index: from 0. beat:
    from 1 in the meter's denominators, exact text. staff and voice as in the file. seconds: first pass through repeats.
    rehearsal: the last rehearsal mark before. anchor: ordinal of the element before which a label may be inserted, None where
    there is none.
    """

    measure: str | None = None
    measure_index: int | None = None
    bar: str | None = None
    beat: str | None = None
    to_measure: str | None = None
    to_measure_index: int | None = None
    to_bar: str | None = None
    staff: int | None = None
    voice: str | None = None
    seconds: float | None = None
    rehearsal: str | None = None
    anchor: int | None = None


@dataclass(frozen=True, slots=True)
class NoteName:
    """A note concerned: written and sounding pitch names, and its anchor."""

    written: str | None
    sounding: str | None
    anchor: int | None = None


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A finding that somebody has looked at and accepted: who, and why."""

    by: str
    why: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One place where a rule has something to say. `id` is a fingerprint that survives inserted bars and a re-export."""

    id: str
    number: int
    rule: str
    grade: Grade
    certainty: Certainty
    part: str | None
    chair: str | None
    label: str
    message: str
    why: str
    remedy: str
    place: Place
    values: Mapping[str, Any]
    notes: tuple[NoteName, ...] = ()
    alternatives: tuple[str, ...] = ()
    to: str = "composer"
    caution: str | None = None
    cite: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    plan: str | None = None
    count: int = 1
    annotated: bool = False
    accepted: Acceptance | None = None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line of a plan: where it stands and the text a player can follow."""

    place: Place
    text: str
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Plan:
    """A tuning, retuning, key or size, breath or trigger plan of one part."""

    id: str
    kind: str
    part: str
    lines: tuple[PlanLine, ...]
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartInfo:
    """What was recognised of one part, and a snapshot of the facets used, with their sources.

    notes: pitched, audible, non-cue, non-grace heads, tied notes once. compass: lowest and highest sounding note used.
    instrument: profile id; evidence: how it was recognised; match_certainty: `sure`, `guess`, or None for unknown.
    """

    id: str
    name: str
    instrument: str | None
    evidence: str | None
    match_certainty: str | None
    notes: int
    measures: int
    compass: tuple[str, str] | None
    profile: Mapping[str, Any]
    unchecked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SourceInfo:
    """The checked input: name, sha256 of the file and of the score member, size in bytes, encoding, container, version."""

    name: str
    sha256: str
    member_sha256: str
    bytes: int
    encoding: str
    container: str | None
    musicxml: str


@dataclass(frozen=True, slots=True)
class Report:
    """All that one check says about one file."""

    tool: tuple[str, str]
    plugins: tuple[tuple[str, str], ...]
    source: SourceInfo
    parts: tuple[PartInfo, ...]
    findings: tuple[Finding, ...]
    plans: tuple[Plan, ...] = ()
    notices: tuple[str, ...] = ()
    words_size: float | None = None

    def counts(self) -> dict[str, int]:
        """Open (not accepted) findings by grade."""
        counts = {"halt": 0, "query": 0, "tidy": 0}
        for finding in self.findings:
            if finding.accepted is None:
                counts[finding.grade.value] += 1
        return counts

    def worst(self) -> Grade | None:
        """The highest grade of an open finding, None where there is none."""
        open_grades = [finding.grade for finding in self.findings if finding.accepted is None]
        return max(open_grades, key=lambda grade: grade.rank, default=None)

    def to_dict(self) -> dict[str, Any]:
        """The findings file as plain values: schema `findings-1`. Deterministic; no timestamps."""
        return {
            "schema": SCHEMA,
            "tool": {"name": self.tool[0], "version": self.tool[1]},
            "plugins": [{"name": name, "version": version} for name, version in self.plugins],
            "source": _plain(self.source),
            "words_size": self.words_size,
            "parts": [_plain(part) for part in self.parts],
            "findings": [_plain(finding) for finding in self.findings],
            "plans": [_plain(plan) for plan in self.plans],
            "notices": list(self.notices),
            "summary": self.counts(),
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Report:
        """The report of a findings file. Unknown keys are ignored. Raises KeyError, TypeError or ValueError if it is none."""
        if data.get("schema") != SCHEMA:
            raise ValueError(f"schema is {data.get('schema')!r}, expected {SCHEMA!r}")
        tool = data["tool"]
        return cls(
            tool=(tool["name"], tool["version"]),
            plugins=tuple((item["name"], item["version"]) for item in data["plugins"]),
            source=_known(SourceInfo, data["source"]),
            parts=tuple(_part(item) for item in data["parts"]),
            findings=tuple(_finding(item) for item in data["findings"]),
            plans=tuple(_plan(item) for item in data["plans"]),
            notices=tuple(data["notices"]),
            words_size=data.get("words_size"),
        )


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if hasattr(value, "__dataclass_fields__"):
        return {item.name: _plain(getattr(value, item.name)) for item in fields(value)}
    return value


def _known(kind: type[T], data: Mapping[str, Any], **replace: Any) -> T:
    names = {item.name for item in fields(kind)}  # type: ignore[arg-type]
    values = {key: tuple(value) if isinstance(value, list) else value for key, value in data.items() if key in names}
    return kind(**(values | replace))


def _part(data: Mapping[str, Any]) -> PartInfo:
    return _known(PartInfo, data)


def _finding(data: Mapping[str, Any]) -> Finding:
    return _known(
        Finding,
        data,
        grade=Grade(data["grade"]),
        certainty=Certainty(data["certainty"]),
        place=_known(Place, data["place"]),
        notes=tuple(_known(NoteName, note) for note in data["notes"]),
        accepted=_known(Acceptance, data["accepted"]) if data.get("accepted") else None,
    )


def _plan(data: Mapping[str, Any]) -> Plan:
    lines = (_known(PlanLine, line, place=_known(Place, line["place"])) for line in data["lines"])
    return _known(Plan, data, lines=tuple(lines))
