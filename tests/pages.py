"""Reports for tests of pages: the demo cue checked, one whose every text is hostile, one of a thousand findings."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import xmlcheck
from xmlcheck.finding import Acceptance, Finding, Grade, NoteName, PartInfo, Place, Plan, PlanLine, Report

DEMO = Path(__file__).parents[1] / "corpus" / "demo" / "the-crossing.musicxml"
HOSTILE = (
    "</script></style><script>alert('x')</script><img src=x onerror=alert(2)>\" onmouseover='x' &amp; {{ 7*7 }} "
    "\u202etxt\x1b[31m\ud800"
)


@cache
def demo() -> Report:
    """The demo cue's report, with the plugins that are installed."""
    return xmlcheck.check(DEMO)


@cache
def hostile() -> Report:
    """The demo's report with a hostile text wherever a text can stand."""

    def spoiled(finding: Finding) -> Finding:
        place = replace(finding.place, bar=HOSTILE, measure=HOSTILE, rehearsal=HOSTILE, beat=finding.place.beat)
        return replace(
            finding,
            id=HOSTILE, rule=f"area.{HOSTILE.replace(' ', '')}", label=HOSTILE, message=HOSTILE, why=HOSTILE, remedy=HOSTILE,
            place=place, alternatives=(HOSTILE,), to=HOSTILE, caution=HOSTILE, cite=(HOSTILE,), rests_on=(HOSTILE,),
            also=(HOSTILE,), plan=HOSTILE, notes=(*finding.notes, NoteName(HOSTILE, HOSTILE)),
            accepted=Acceptance(HOSTILE, HOSTILE) if finding.number == 2 else None,
        )  # fmt: skip

    facet = {"compass": {"lowest": {"value": "C4", "certainty": HOSTILE}, "highest": {"value": "C6"}}}
    bands = [{"title": HOSTILE, "lowest": "C4", "highest": "C5", "softest": HOSTILE}]
    profile = {"name": HOSTILE, "facets": {**facet, "registers": {"bands": bands}}, "cautions": [HOSTILE]}

    def part(info: PartInfo) -> PartInfo:
        return replace(info, name=HOSTILE, evidence=HOSTILE, profile=profile, unchecked=(f"{HOSTILE} (no {HOSTILE})",))

    values = {"strings": [{"string": HOSTILE, "pitch": "D4"}], "changes": [], "caution": HOSTILE}
    line = PlanLine(Place(bar=HOSTILE, measure_index=1, seconds=2.0), HOSTILE, values)
    first = demo().parts[0].id
    return replace(
        demo(),
        tool=(HOSTILE, HOSTILE),
        source=replace(demo().source, name=HOSTILE),
        parts=tuple(map(part, demo().parts)),
        findings=tuple(map(spoiled, demo().findings)),
        plans=(Plan("x", "tuning", first, (line,), (HOSTILE,)), Plan("y", HOSTILE, first, (line,), (HOSTILE,))),
        notices=(HOSTILE,),
    )


@cache
def thousand() -> Report:
    """A thousand findings over all bars and parts of the demo cue."""
    findings = []
    parts = [part for part in demo().parts if part.measures]
    for number in range(1, 1001):
        model = demo().findings[number % len(demo().findings)]
        index, part = number * 7 % 40, parts[number % len(parts)]
        place = replace(model.place, measure_index=index, bar=str(index + 1), to_measure_index=None, to_bar=None)
        grade = tuple(Grade)[number % 3]
        findings.append(replace(model, id=f"t{number}", number=number, part=part.id, place=place, grade=grade, accepted=None))
    return replace(demo(), findings=tuple(findings))
