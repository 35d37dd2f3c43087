"""The check: source in, report out.

The order is fixed: claims, hits, certainty cap, regrading, folding, merging, acceptance, numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from xmlcheck.chairs import Seat, seats
from xmlcheck.checking import fingerprint
from xmlcheck.checking.ask import Desk, Unanswered, shared_settings
from xmlcheck.checking.fold import Case, folded, merged
from xmlcheck.checking.guard import TIME_LIMIT, Guard, told
from xmlcheck.checking.snapshot import part_info, source_info
from xmlcheck.checking.write_up import Writer
from xmlcheck.cited import weakest
from xmlcheck.config import Config
from xmlcheck.document import Document, parse
from xmlcheck.facets import Session
from xmlcheck.facts.chair import Chair, ScoreFacts
from xmlcheck.finding import Acceptance, Certainty, Finding, Grade, Plan, PlanLine, Report, SourceInfo
from xmlcheck.identify import Match, identify, several_kinds
from xmlcheck.memory import collector_at_rest
from xmlcheck.model import Part, Score
from xmlcheck.profile import Profile
from xmlcheck.reader import read
from xmlcheck.registry import Registry, relatives
from xmlcheck.rule import Hit, Rule
from xmlcheck.siblings import Before, Siblings
from xmlcheck.source import Source
from xmlcheck.version import VERSION


def check_source(source: Source, registry: Registry, config: Config, *, given: Mapping[str, str] | None = None) -> Report:
    """The report of one source. `given` maps part ids or names to instruments, over those of the configuration.

    Raises errors.XmlcheckError where the source cannot be read or the configuration names what does not exist.
    """
    with collector_at_rest():  # the document is gone when the collector wakes: it has nothing of it to look through
        return _checked(source, registry, config, given)


def _checked(source: Source, registry: Registry, config: Config, given: Mapping[str, str] | None) -> Report:
    document = parse(source)
    return check_document(document, read(document), registry, config, given=given)


def check_document(
    document: Document, score: Score, registry: Registry, config: Config, *, given: Mapping[str, str] | None = None
) -> Report:
    """The report of a document that was parsed and read already."""
    source = document.source
    with collector_at_rest():
        report = check_score(score, source_info(source, score.version), registry, config, given=given)
    told = [notice.text for notice in (*source.notices, *document.notices)]
    findings, plans = report.findings, report.plans
    if document.starts is None:
        findings = tuple(replace(item, annotated=False, place=replace(item.place, anchor=None)) for item in findings)
        plans = tuple(replace(plan, lines=tuple(map(_unanchored, plan.lines))) for plan in plans)
    return replace(report, notices=(*told, *report.notices), findings=findings, plans=plans)


def _unanchored(line: PlanLine) -> PlanLine:
    return replace(line, place=replace(line.place, anchor=None))


def check_score(
    score: Score, info: SourceInfo, registry: Registry, config: Config, *, given: Mapping[str, str] | None = None
) -> Report:
    """The report of a score that was read already."""
    facts = ScoreFacts(score)
    try:
        return _report(facts, info, registry, config, given or {})
    finally:
        facts.chairs = ()  # chairs and facts hold each other: so they go with the score, and no collector has to find them


def _report(facts: ScoreFacts, info: SourceInfo, registry: Registry, config: Config, given: Mapping[str, str]) -> Report:
    score = facts.score
    notices = [*registry.notices, *_told(score)]
    if not facts.tempo.given and any(part.notes for part in score.parts):
        notices.append("The file gives no tempo: 120 quarter notes a minute are assumed for everything that depends on time.")
    desks = _desks(facts, registry, config, {**config.parts, **given}, notices)
    facts.chairs = tuple(desk.chair for desk in desks)
    claims = [rule for rule in registry.rules if rule.card.phase == "claim" and config.grades.get(rule.id) != "off"]
    plans: dict[str, Plan] = {}
    cases = _run(claims, desks, facts, config, notices, plans)
    if cases:
        desks = _claimed(desks, cases, registry)
        facts.chairs = tuple(desk.chair for desk in desks)
    checks = [rule for rule in registry.rules if rule.card.phase == "check" and config.grades.get(rule.id) != "off"]
    skipped: dict[str, list[str]] = {}
    cases += _run(checks, desks, facts, config, notices, plans, skipped)
    order = {part.id: index for index, part in enumerate(score.parts)}
    cases = folded(cases)
    cases.sort(key=lambda case: (order.get(case.part, -1), case.hit.at[0].onset if case.hit.at else -1, case.card.id))
    accept = {item.id: Acceptance(item.by, item.why) for item in config.accept}
    writer = Writer(facts, _identities(score, desks), accept)
    findings: list[Finding] = []
    for group in merged(cases):
        try:
            findings.append(writer.finding(group, len(findings) + 1))
        except Exception as error:  # a card asks for what its rule does not give, a value has no text: blamed, the rest goes on
            notices.append(f"Rule {group[0].card.id} of {group[0].card.plugin} could not be told: {told(error)}")
    by_part: dict[int, list[Desk]] = {}
    for desk in desks:
        by_part.setdefault(id(desk.chair.part), []).append(desk)
    plans |= {case.hit.plan.id: case.hit.plan for case in cases if case.hit.plan is not None}
    return Report(
        tool=("xmlcheck", VERSION),
        plugins=tuple((plugin.name, plugin.version) for plugin in registry.plugins),
        source=info,
        parts=tuple(part_info(part, by_part.get(id(part), []), skipped) for part in score.parts),
        findings=tuple(findings),
        plans=tuple(sorted(map(writer.plan, plans.values()), key=_plan_order)),
        notices=tuple(notices),
        words_size=score.words_size,
    )


def _plan_order(plan: Plan) -> tuple[str, str]:
    return plan.part, plan.id


def _told(score: Score) -> list[str]:
    """The reader's notices, equal ones once with their count."""
    counts: dict[tuple[str, str], int] = {}
    for notice in score.notices:
        if notice.kind.startswith("schema-"):
            continue  # of the file's form: a rule may tell it at its place
        where = f"Part {notice.part}: " if notice.part else ""
        counts[(where, notice.text)] = counts.get((where, notice.text), 0) + 1
    return [f"{where}{text}" + (f" ({count} times)" if count > 1 else "") for (where, text), count in counts.items()]


def _desks(
    facts: ScoreFacts, registry: Registry, config: Config, given: Mapping[str, str], notices: list[str]
) -> tuple[Desk, ...]:
    def knows(text: str) -> bool:
        found = registry.names.find(text)
        key = found.name.key
        return any(not key or registry.names.states(id, key) for id in found.ids)

    result: list[Desk] = []
    family = relatives(registry)
    shared = shared_settings(registry.rules, registry.derived, config.settings)
    for part in facts.score.parts:
        several = several_kinds(part)
        for seat in seats(part, knows):
            match = _match(seat, part, registry, given, facts.score.parts, several)
            profile = _profile(match, part, registry, config, notices)
            players = match.name.players if match.name is not None else None
            session = profile.get(Session) if profile is not None else None
            chair = Chair(seat, facts, many=_many(match, profile, seat), players=players, session=session or Session())
            siblings = Siblings(profile, family) if profile is not None else None
            before = Before(result[-1].profile if result and result[-1].chair.part is part else None)
            result.append(Desk(chair, match, profile, registry.derived, siblings, before, shared))
    return tuple(result)


def _match(seat: Seat, part: Part, registry: Registry, given: Mapping[str, str], parts: Sequence[Part], several: bool) -> Match:
    if seat.announced or (seat.start > 0 and seat.instrument is not None):
        # A later stretch on another instrument: the part's heading names the first one and has no say.
        told = replace(part, name=seat.announced, display_name="", abbreviation="", display_abbreviation="", instruments=())
        return identify(told, None if seat.announced else seat.instrument, registry.names, {})
    return identify(part, seat.instrument, registry.names, given, registry.hooks.xmlcheck_identify, parts, several)


def _profile(match: Match, part: Part, registry: Registry, config: Config, notices: list[str]) -> Profile | None:
    if match.profile is None:
        return None
    profile = registry.profile(match.profile, config.layers(match.profile, part.id, part.name))
    for table in profile.unowned:
        notice = f"{profile.id}: the table [{table}] belongs to a plugin that is not installed; it is kept, unchecked."
        if notice not in notices:
            notices.append(notice)
    return profile


def _many(match: Match, profile: Profile | None, seat: Seat) -> bool:
    """Whether several players read the part: the heading says so, or such parts are commonly played by a section."""
    name = match.name
    if seat.instrument is not None and seat.instrument.ensemble:
        return seat.instrument.ensemble != "solo"
    if name is not None and (name.solo or name.section is False):
        return False
    if name is not None and (name.section or (name.players or 1) > 1):
        return True
    section = profile.facets.get("ensemble") if profile is not None else None
    return bool(section is not None and section.section.value)


def _run(
    rules: Iterable[Rule],
    desks: tuple[Desk, ...],
    facts: ScoreFacts,
    config: Config,
    notices: list[str],
    plans: dict[str, Plan],
    skipped: dict[str, list[str]] | None = None,
) -> list[Case]:
    """The hits of these rules. A plan that a rule gives without a hit goes into `plans`; those of hits follow when they are kept."""
    cases: list[Case] = []
    with Guard(facts.score, notices) as guard:  # a rule or what it asks for may fail in any way; it is blamed, the run goes on
        for rule in rules:
            settings = config.settings.get(rule.id, {})
            for desk in desks if _per_chair(rule) else (None,):
                try:
                    hits = guard.hits(rule, desk, partial(_arguments, rule, desk, facts, settings), settings.get(TIME_LIMIT))
                except Unanswered as error:
                    if skipped is not None and desk is not None:
                        reason = f"no {error.facet}" if error.own_kind else "another kind of instrument"
                        skipped.setdefault(desk.chair.name, []).append(f"{rule.id} ({reason})")
                    continue
                for hit in hits:
                    if isinstance(hit, Plan):
                        plans[hit.id] = hit
                    else:
                        cases.append(_case(rule, desk, hit, config))
    return cases


def _arguments(rule: Rule, desk: Desk | None, facts: ScoreFacts, settings: Mapping[str, Any]) -> dict[str, Any]:
    if desk is not None:
        return desk.answers(rule.needs, settings)
    return {need.name: settings.get(need.name, need.default) if need.setting else facts for need in rule.needs}


def _per_chair(rule: Rule) -> bool:
    return any(need.kind is not ScoreFacts and not need.setting for need in rule.needs)


def _case(rule: Rule, desk: Desk | None, hit: Hit, config: Config) -> Case:
    """The hit with its grade: the card's, lowered by the rule, capped by the weakest value, regraded but never above the cap."""
    certainty = weakest(hit.rests_on)
    cap = certainty.cap
    if hit.rests_on and desk is not None and desk.match.certainty == "guess":
        cap = min(cap, Grade.QUERY, key=_rank)
        certainty = min(certainty, Certainty.MEMORY, key=lambda item: item.rank)
    grade = rule.card.grade if hit.grade is None else min(rule.card.grade, hit.grade, key=_rank)
    wanted = config.grades.get(rule.id)
    if isinstance(wanted, Grade):
        grade = wanted
    return Case(rule.card, desk, hit, min(grade, cap, key=_rank), certainty)


def _rank(grade: Grade) -> int:
    return grade.rank


def _claimed(desks: tuple[Desk, ...], cases: list[Case], registry: Registry) -> tuple[Desk, ...]:
    """The desks again, without the events that claim rules took."""
    taken: dict[str, set[int]] = {}
    for case in cases:
        taken.setdefault(case.chair, set()).update(case.anchors)
    result = []
    for desk in desks:
        claimed = frozenset(taken.get(desk.chair.name, ()))
        if not claimed:
            result.append(desk)
            continue
        old = desk.chair
        chair = Chair(old.seat, old.facts, claimed, old.many, old.players, old.session)
        result.append(Desk(chair, desk.match, desk.profile, registry.derived, desk.siblings, desk.before, desk.shared))
    return tuple(result)


def _identities(score: Score, desks: tuple[Desk, ...]) -> dict[str, str]:
    result: dict[str, str] = {}
    seen: dict[tuple[str, str | None], int] = {}
    first = {desk.chair.part.id: desk for desk in reversed(desks)}
    for part in score.parts:
        desk = first.get(part.id)
        instrument = desk.match.profile if desk is not None else None
        name = part.display_name or part.name
        count = seen[(name, instrument)] = seen.get((name, instrument), 0) + 1
        result[part.id] = fingerprint.identity(name, instrument, count)
    return result
