"""Every rule and instrument as Markdown pages with an index: the pages of `xmlcheck about`, linked, with worked examples.

The same registry gives the same bytes: no date, no version, no order that depends on the machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from xmlcheck.facets import Compass
from xmlcheck.output import about, markdown
from xmlcheck.profile import Profile
from xmlcheck.registry import Registry
from xmlcheck.rule import Rule

RULES, INSTRUMENTS, FAMILIES = "rules", "instruments", "families"
_CHECKED, _UNCHECKED, _TECHNIQUES = "Rules that check it", "What is not checked", "Techniques"
_TOP = "README.md"
MADE = "<!-- made by: xmlcheck docs -->"


@dataclass(frozen=True, slots=True)
class Example:
    """A case of a rule at work. says: who says that it is so, or why. music: in the tiny notation. found: grade, place, message.

    instrument: profile id, None where the part is of no known instrument; found is empty where the rule keeps silent.
    """

    name: str
    says: str
    music: str
    instrument: str | None
    found: tuple[str, ...]


def pages(registry: Registry, examples: Mapping[str, tuple[Example, ...]]) -> dict[str, str]:
    """File name to text of the whole reference; each text opens with `MADE`. examples: by rule id."""
    families = {id: _stated(id, registry) for id, offer in registry.offers.items() if offer.abstract}
    made = {_TOP: _front(registry), f"{RULES}/{_TOP}": _rules(registry), f"{INSTRUMENTS}/{_TOP}": _instruments(registry)}
    for rule in registry.rules:
        made[f"{RULES}/{rule.id}.md"] = _rule(rule, registry, examples.get(rule.id, ()))
    for id in registry.names.entries:
        made[f"{INSTRUMENTS}/{id}.md"] = _instrument(registry.profile(id), families, registry)
    for id, text in families.items():
        made[f"{FAMILIES}/{id}.md"] = f"{text}\n[All instruments](../{INSTRUMENTS}/{_TOP})\n"
    return {name: f"{MADE}\n\n{made[name]}" for name in sorted(made)}


def _rule(rule: Rule, registry: Registry, examples: Iterable[Example]) -> str:
    text = markdown.document(about.rule_page(rule, registry.derived, markdown.ENDLESS))
    others = {other.id: f"{other.id}.md" for other in registry.rules if other.id != rule.id}
    shown = [line for example in examples for line in _example(example, registry)]
    cases = "\n".join(["", "## Examples", *shown, ""]) if shown else ""
    return f"{markdown.linked(text, others)}{cases}\n[All rules]({_TOP})\n"


def _example(example: Example, registry: Registry) -> Iterator[str]:
    yield ""
    yield f"### {markdown.escaped(example.name)}"
    yield ""
    yield "```text"
    yield from (line.strip() for line in example.music.splitlines() if line.strip())
    yield "```"
    yield ""
    if example.instrument is not None and example.instrument in registry.names.entries:
        name = markdown.escaped(registry.profile(example.instrument).name)
        yield f"- **Instrument:** [{name}](../{INSTRUMENTS}/{example.instrument}.md)"
    for text in example.found or ("nothing",):
        yield f"- **Found:** {markdown.escaped(text)}"
    if example.says:
        yield f"- **Who says so:** {markdown.escaped(example.says)}"


def _instrument(profile: Profile, families: Mapping[str, str], registry: Registry) -> str:
    lines = about.instrument_page(profile, registry.names.entries[profile.id], registry, markdown.ENDLESS)
    text = _without_family(
        markdown.document(lines, frozenset({_CHECKED})), registry.offers[profile.id].table().get("extends", ""), families
    )
    checked = "".join(f"- {line}\n" for line in _checked(profile, registry))
    return f"{text}\n## {_CHECKED}\n\n{checked}\n[All rules](../{RULES}/{_TOP}) · [All instruments]({_TOP})\n"


def _stated(id: str, registry: Registry) -> str:
    """What a profile states; a family base, which nobody plays, has no name but its id."""
    entry = registry.offers[id].entry
    lines = about.instrument_page(registry.profile(id), entry, registry, markdown.ENDLESS)
    return markdown.document(lines, frozenset({_CHECKED, _UNCHECKED}))


def _without_family(text: str, family: str, families: Mapping[str, str]) -> str:
    """The page with the techniques that the whole family has told in one line: they stand on the family's own page."""
    before, heading, rest = text.partition(f"\n## {_TECHNIQUES}\n")
    section, mark, after = rest.partition("\n## ")
    told = families.get(family, "").partition(heading or "\0")[2].partition("\n## ")[0]
    common = {line for line in told.splitlines() if line}
    own = [line for line in section.splitlines() if line not in common]
    shared = sum(line in common for line in section.splitlines())
    if not shared:
        return text
    own.append(f"- and {shared} more, as [all of the family](../{FAMILIES}/{family}.md)")
    return "".join((before, heading, "\n".join(own), "\n", mark, after))


def _checked(profile: Profile, registry: Registry) -> Iterator[str]:
    """The rules that look at the instrument, plugin by plugin."""
    for plugin, rules in sorted(_by_plugin(registry).items()):
        asked = [rule.id for rule in rules if _needed(rule, registry) <= set(profile.facets)]
        if asked:
            rest = [rule.id for rule in rules if rule.id not in asked]
            told = f"all {len(rules)}" if not rest else ", ".join(asked)
            if rest and len(rest) < len(asked):
                told = f"all {len(rules)} but {', '.join(rest)}"
            yield f"{plugin}: {told}"


def _needed(rule: Rule, registry: Registry) -> set[str]:
    return about.facets_needed(rule.needs, registry.derived)


def _by_plugin(registry: Registry) -> dict[str, list[Rule]]:
    found: dict[str, list[Rule]] = {}
    for rule in registry.rules:
        found.setdefault(rule.card.plugin, []).append(rule)
    return found


def _front(registry: Registry) -> str:
    return (
        "# What is checked, and what is known\n\n"
        "These pages are made by `xmlcheck docs` from the rule cards, their cases and the instrument profiles: what they say is\n"
        "what a check uses. Middle C is C4. Behind each value stand its sources and who vouches for it; what rests on memory or\n"
        "on sources that disagree never halts a take. The players know more than any table.\n\n"
        f"- [Rules]({RULES}/{_TOP}): {len(registry.rules)}\n"
        f"- [Instruments]({INSTRUMENTS}/{_TOP}): {len(registry.names.entries)}\n"
    )


def _rules(registry: Registry) -> str:
    sections = ["# Rules\n"]
    for plugin, rules in sorted(_by_plugin(registry).items()):
        rows = [
            f"| [{rule.id}]({rule.id}.md) | {markdown.escaped(rule.card.title)} | {rule.card.grade.value} |" for rule in rules
        ]
        sections.append("\n".join([f"## {plugin}", "", "| rule | finds | grade, at most |", "|---|---|---|", *rows, ""]))
    return "\n".join(sections)


def _instruments(registry: Registry) -> str:
    plugins: dict[str, list[str]] = {}
    for id, entry in sorted(registry.names.entries.items()):
        plugins.setdefault(entry.plugin, []).append(_row(registry.profile(id)))
    sections = ["# Instruments\n"]
    for plugin, rows in sorted(plugins.items()):
        head = [f"## {plugin}", "", "| instrument | compass, sounding | kind |", "|---|---|---|"]
        sections.append("\n".join([*head, *rows, ""]))
    families = sorted(id for id, offer in registry.offers.items() if offer.abstract)
    if families:
        listed = [f"- [{id}](../{FAMILIES}/{id}.md)" for id in families]
        sections.append("\n".join(["## What families share", "", *listed, ""]))
    return "\n".join(sections)


def _row(profile: Profile) -> str:
    compass = profile.get(Compass)
    told = f"{compass.lowest.value} to {compass.highest.value}" if compass else "not stated"
    return f"| [{markdown.escaped(profile.name)}]({profile.id}.md) | {told} | {markdown.escaped(profile.family)} |"
