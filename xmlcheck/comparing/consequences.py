"""What the changes mean for the findings and plans: gone, new, still there; whether a plan holds. Eats two reports."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from xmlcheck.comparing.change import Change, PartMatch, Run
from xmlcheck.finding import Finding, Plan, Report

TIMED = ("speed", "breath", "retuning")
"""What is found anew when the same notes are to be played at another tempo."""


@dataclass(frozen=True, slots=True)
class Said:
    """A finding, short. old_number, number: its numbers in the two reports, null where it is not in it. bar: in the newer of
    the reports that have it. changed: it is still there and says something else."""

    id: str
    rule: str
    grade: str
    part: str | None
    bar: str | None
    label: str
    message: str
    old_number: int | None = None
    number: int | None = None
    accepted: bool = False
    changed: bool = False


@dataclass(frozen=True, slots=True)
class PlanFate:
    """What became of a plan. fate: holds, changed, new or gone. was, now: its lines, without their places."""

    part: str
    kind: str
    fate: str
    was: tuple[str, ...] = ()
    now: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Consequences:
    """gone, new, still: findings. plans: of every part that has one. same_notes: only tempi changed, so that every finding that
    came or went is owed to them; rechecked: what that concerns."""

    gone: tuple[Said, ...]
    new: tuple[Said, ...]
    still: tuple[Said, ...]
    plans: tuple[PlanFate, ...]
    same_notes: bool = False
    rechecked: tuple[str, ...] = ()


def consequences(
    old: Report, new: Report, parts: Sequence[PartMatch], runs: Sequence[Run], changes: Sequence[Change]
) -> Consequences:
    """Compares the findings of two reports by fingerprint; where a part was renamed, by rule and place."""
    ids = {match.old: match.new for match in parts if match.old is not None and match.new is not None}
    known = {finding.id: finding for finding in new.findings}
    still, left_old = [], []
    taken: set[str] = set()
    for finding in old.findings:
        other = known.get(finding.id)
        if other is None or other.id in taken:
            left_old.append(finding)
        else:
            taken.add(other.id)
            still.append(_still(finding, other))
    left_new = [finding for finding in new.findings if finding.id not in taken]
    bars = _bars(runs)
    gone = []
    for finding in left_old:
        other = next((one for one in left_new if _same(finding, one, ids, bars)), None)
        if other is None:
            gone.append(_said(finding, old_number=finding.number))
        else:
            left_new.remove(other)
            still.append(_still(finding, other))
    tempo = [change for change in changes if change.kind == "tempo"]
    only = bool(tempo) and len(tempo) == len(changes)
    return Consequences(
        tuple(gone),
        tuple(_said(finding, number=finding.number) for finding in left_new),
        tuple(sorted(still, key=lambda one: one.number or 0)),
        tuple(_plans(old.plans, new.plans, ids)),
        only,
        TIMED if tempo else (),
    )


def _bars(runs: Iterable[Run]) -> Mapping[tuple[str | None, int], int]:
    """Old bar to new bar, for all parts (None) or for one."""
    return {(run.part, run.old + n): run.new + n for run in runs for n in range(run.count)}


def _same(old: Finding, new: Finding, ids: Mapping[str, str], bars: Mapping[tuple[str | None, int], int]) -> bool:
    """Whether two findings of different fingerprints are one: the same rule, in the same part, at the same place."""
    part = ids.get(old.part) if old.part is not None else None
    if old.rule != new.rule or part != new.part:
        return False
    index = old.place.measure_index
    if index is None or new.place.measure_index is None:
        return index is new.place.measure_index
    there = bars.get((part, index), bars.get((None, index)))
    return there == new.place.measure_index and old.place.beat == new.place.beat


def _said(finding: Finding, old_number: int | None = None, number: int | None = None) -> Said:
    return Said(
        finding.id,
        finding.rule,
        finding.grade.value,
        finding.part,
        finding.place.bar,
        finding.label,
        finding.message,
        old_number,
        number,
        finding.accepted is not None,
    )


def _still(old: Finding, new: Finding) -> Said:
    found = _said(new, old.number, new.number)
    changed = (old.grade, old.message) != (new.grade, new.message)
    return Said(**{name: getattr(found, name) for name in found.__slots__ if name != "changed"}, changed=changed)


def _plans(old: Iterable[Plan], new: Iterable[Plan], ids: Mapping[str, str]) -> list[PlanFate]:
    """Plans of one kind and part on both sides. A plan holds if its lines say the same, wherever they now stand."""
    before: dict[tuple[str, str], list[str]] = {}
    after: dict[tuple[str, str], list[str]] = {}
    for plan in old:
        before.setdefault((ids.get(plan.part, plan.part), plan.kind), []).extend(line.text for line in plan.lines)
    for plan in new:
        after.setdefault((plan.part, plan.kind), []).extend(line.text for line in plan.lines)
    found = []
    for part, kind in dict.fromkeys((*after, *before)):
        was, now = tuple(before.get((part, kind), ())), tuple(after.get((part, kind), ()))
        present = (part, kind) in before, (part, kind) in after
        fate = "new" if not present[0] else "gone" if not present[1] else "holds" if was == now else "changed"
        found.append(PlanFate(part, kind, fate, was, now))
    return found
