"""What the page shows, as frozen values: findings, parts and groups, made from a report and, where it is there, its score."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from xmlcheck.excerpt import Excerpts
from xmlcheck.finding import Finding, Grade, PartInfo, Plan, Report
from xmlcheck.output.html import compass, plans, strip, words
from xmlcheck.output.html.figures import Engraver, Figure
from xmlcheck.output.html.strip import Cell, Row, Strips, System
from xmlcheck.output.html.words import Voucher
from xmlcheck.output.page import printable


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding in words and picture. key: its id on the page. part: key of its part. undrawn: why a picture is missing."""

    key: str
    number: int
    id: str
    grade: str
    shape: str
    rule: str
    part: str
    part_name: str
    label: str
    place: str
    time: str
    rehearsal: str
    message: str
    notes: str
    count: int
    why: str
    remedy: str
    alternatives: tuple[str, ...]
    caution: str
    to: str
    certainty: str
    sure: str
    vouchers: tuple[Voucher, ...]
    cite: tuple[str, ...]
    also: tuple[str, ...]
    plan: str
    accepted: str
    figures: tuple[Figure, ...] = ()
    undrawn: str = ""


@dataclass(frozen=True, slots=True)
class PartView:
    """One part: how it was recognised, its bars, its compass, its plans, its findings."""

    key: str
    name: str
    instrument: str
    evidence: str
    counts: tuple[tuple[str, str, int], ...]
    cells: tuple[Cell, ...]
    signs: tuple[tuple[str, str], ...]
    compass: Markup | None
    told: str
    bands: tuple[str, ...]
    plans: tuple[plans.PlanView, ...]
    cautions: tuple[str, ...]
    unchecked: str
    findings: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class PageView:
    """All of it. plain: why findings have no pictures, where they have none."""

    name: str
    title: str
    sha256: str
    tool: str
    counts: tuple[tuple[str, str, int, str], ...]
    accepted: int
    systems: tuple[System, ...]
    parts: tuple[PartView, ...]
    findings: tuple[FindingView, ...]
    rules: tuple[str, ...]
    desks: tuple[str, ...]
    notices: tuple[str, ...]
    unrecognised: tuple[str, ...]
    plain: str
    outlines: Markup

    @property
    def groups(self) -> tuple[tuple[str, str], ...]:
        """Keys and names of the parts that have findings."""
        return tuple((part.key, part.name) for part in self.parts if part.findings)


WHOLE = "whole"
"""Key of the findings that are about no single part."""


def page(report: Report, excerpts: Excerpts | None, title: str = "", plain: str = "") -> PageView:
    """The page of a report. excerpts: of the score that it speaks of. plain: why there are no pictures, where there are none."""
    engraver = Engraver(excerpts)
    strips = strip.numbering(report)
    if excerpts is not None:
        strips = Strips({part: _named(excerpts.bars(part)) for part in excerpts.parts}, excerpts.rehearsals)
    keys = {part.id: f"p{number}" for number, part in enumerate(report.parts, 1)}
    names = {part.id: _called(part) for part in report.parts}
    ordered = sorted(report.findings, key=_score_order)
    bars = {finding.number: engraver.bars(finding) for finding in ordered}
    told = {finding.number: _finding(finding, keys, names, engraver) for finding in ordered}
    parts, rows = [], []
    for part in report.parts:
        own = [finding for finding in ordered if finding.part == part.id]
        lines = [plan for plan in report.plans if plan.part == part.id]
        reach = [(finding, bars[finding.number]) for finding in own if finding.accepted is None]
        cells = strip.cells(part.id, part.measures, strips, reach, lines)
        rows.append(Row(keys[part.id], names[part.id], cells))
        parts.append(_part(part, keys[part.id], own, lines, cells, told, engraver))
    loose = [told[finding.number] for finding in ordered if finding.part not in keys]
    if loose:
        parts.insert(0, _whole(tuple(loose), ordered, keys))
    counts = report.counts()
    shown = tuple(finding for part in parts for finding in part.findings)
    return PageView(
        name=printable(report.source.name),
        title=printable(title),
        sha256=report.source.sha256,
        tool=f"{printable(report.tool[0])} {printable(report.tool[1])}",
        counts=tuple((g.value, words.SHAPES[g], counts[g.value], words.GRADES[g]) for g in reversed(Grade)),
        accepted=sum(finding.accepted is not None for finding in report.findings),
        systems=strip.systems(rows),
        parts=tuple(parts),
        findings=shown,
        rules=tuple(sorted({finding.rule for finding in shown})),
        desks=tuple(sorted({finding.to for finding in shown})),
        notices=tuple(map(words.signs, report.notices)),
        unrecognised=tuple(names[part.id] for part in report.parts if part.instrument is None),
        plain=plain if not engraver.count and not engraver.undrawn else "",
        outlines=engraver.outlines(),
    )


def _finding(finding: Finding, keys: Mapping[str, str], names: Mapping[str, str], engraver: Engraver) -> FindingView:
    part = finding.part or ""
    accepted, figure = finding.accepted, engraver.figure(finding)
    return FindingView(
        key=f"f{finding.number}",
        number=finding.number,
        id=printable(finding.id),
        grade=finding.grade.value,
        shape=words.SHAPES[finding.grade],
        rule=printable(finding.rule),
        part=keys.get(part, WHOLE),
        part_name=names.get(part, "The whole score"),
        label=words.signs(finding.label),
        place=words.where(finding.place),
        time=words.clock(finding.place.seconds),
        rehearsal=printable(finding.place.rehearsal or ""),
        message=words.sentence(finding.message),
        notes=words.notes(finding.notes),
        count=finding.count,
        why=words.sentence(finding.why),
        remedy=words.sentence(finding.remedy),
        alternatives=tuple(map(words.sentence, finding.alternatives)),
        caution=words.sentence(finding.caution or ""),
        to=printable(finding.to),
        certainty=finding.certainty.value,
        sure=words.CERTAINTIES[finding.certainty],
        vouchers=words.vouchers(finding),
        cite=tuple(map(printable, finding.cite)),
        also=tuple(map(printable, finding.also)),
        plan=finding.plan or "",
        accepted=f"Accepted by {printable(accepted.by)}: {words.sentence(accepted.why)}" if accepted is not None else "",
        figures=() if figure is None else (figure,),
        undrawn=engraver.undrawn.get(finding.number, ""),
    )


def _part(
    part: PartInfo,
    key: str,
    own: list[Finding],
    lines: list[Plan],
    cells: tuple[Cell, ...],
    told: Mapping[int, FindingView],
    engraver: Engraver,
) -> PartView:
    facets: Any = part.profile.get("facets")
    known = compass.compass(facets)
    drawn = compass.picture(known, part.compass, engraver.clefs)
    evidence = printable(part.evidence or "")
    if part.match_certainty == "guess" and "guess" not in evidence:
        evidence = f"a guess: {evidence}"
    return PartView(
        key=key,
        name=_called(part),
        instrument=printable(part.profile.get("name") or part.instrument or ""),
        evidence=evidence,
        counts=_counts(own),
        cells=strip.gathered(cells),
        signs=tuple(sorted({(plans.SIGNS[plan.kind], plans.TITLES[plan.kind]) for plan in lines if plan.kind in plans.SIGNS})),
        compass=Markup(drawn) if drawn else None,
        told=compass.told(known, part.compass),
        bands=tuple(map(compass.band_text, known.bands)),
        plans=plans.views(lines, facets, engraver.clefs),
        cautions=tuple(words.sentence(text) for text in _texts(part.profile.get("cautions"))),
        unchecked=_unchecked(part),
        findings=tuple(told[finding.number] for finding in own),
    )


def _whole(loose: tuple[FindingView, ...], ordered: Iterable[Finding], keys: Mapping[str, str]) -> PartView:
    own = [finding for finding in ordered if finding.part not in keys]
    return PartView(WHOLE, "The whole score", "", "", _counts(own), (), (), None, "", (), (), (), "", loose)


def _counts(findings: Iterable[Finding]) -> tuple[tuple[str, str, int], ...]:
    opened = [finding.grade for finding in findings if finding.accepted is None]
    return tuple((grade.value, words.SHAPES[grade], opened.count(grade)) for grade in reversed(Grade) if grade in opened)


def _unchecked(part: PartInfo) -> str:
    if part.instrument is None:
        return "Its instrument is not recognised; only what needs no instrument was checked."
    rules = {line.partition(" (")[0] for line in part.unchecked if " (no " in line}
    lacks = sorted({line.partition(" (no ")[2].rstrip(")") for line in part.unchecked} - {""})
    if not rules:
        return ""
    return f"{words.several(len(rules), 'rule')} not applied, for want of {printable(', '.join(lacks))}."


def _called(part: PartInfo) -> str:
    return printable(part.name) or printable(part.id) or "part without a name"


def _texts(items: Any) -> tuple[str, ...]:
    return tuple(item for item in items if isinstance(item, str)) if isinstance(items, (list, tuple)) else ()


def _score_order(finding: Finding) -> tuple[int, int]:
    index = finding.place.measure_index
    return -1 if index is None else index, finding.number


def _named(numbers: Iterable[str]) -> tuple[str, ...]:
    return tuple(number or str(index) for index, number in enumerate(numbers, 1))
