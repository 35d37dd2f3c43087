"""A rule's own cases as worked examples: the music, who says so, and what the check really answers."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from xmlcheck.finding import Finding
from xmlcheck.output.page import Sheet
from xmlcheck.output.reference import Example
from xmlcheck.registry import Registry
from xmlcheck.rule import Rule
from xmlcheck.testing.cases import Case, load
from xmlcheck.testing.trial import report_of

CLEAN, FAILING = 1, 2
"""Cases of each kind that are shown: the first ones."""


def examples(registry: Registry) -> dict[str, tuple[Example, ...]]:
    """The examples of every rule that has cases. Raises XmlcheckError where a case cannot be run."""
    return {rule.id: tuple(_of(rule, registry)) for rule in registry.rules}


def _of(rule: Rule, registry: Registry) -> Iterator[Example]:
    path = Path(inspect.getfile(rule.check)).with_name("cases.toml")
    if not path.is_file():
        return
    cases = load(path)
    says = remarks(path.read_text(encoding="utf-8"))
    clean = [case for case in cases if case.expect is None and case.asked][:CLEAN]
    failing = [case for case in cases if case.expect is not None][:FAILING]
    for case in (*clean, *failing):
        yield _worked(case, registry, says.get(case.name, ""))


def _worked(case: Case, registry: Registry, says: str) -> Example:
    report = report_of(case, case.registry(registry), case.data())
    found = tuple(_told(finding) for finding in report.findings if finding.rule == case.rule)
    own = case.profile["id"] if isinstance(case.profile, Mapping) else case.profile
    named = report.parts[0].instrument if case.recognise and report.parts else own
    return Example(case.name, says, case.told, str(named) if named is not None else None, found)


def _told(finding: Finding) -> str:
    place = f" at {finding.place.bar}:{finding.place.beat}" if finding.place.bar is not None else ""
    return f"{Sheet().shape(finding.grade)} {finding.grade.value}{place}. {finding.message}"


def remarks(text: str) -> dict[str, str]:
    """Case name to the comment above the case, which names its source: comments are lost once TOML is read."""
    found: dict[str, str] = {}
    above: list[str] = []
    inside = ""
    for line in text.splitlines():
        if line.startswith("#"):
            above.append(line.lstrip("# "))
        elif re.match(r"\[\[(pass|fail)\]\]", line):
            inside, above = " ".join(item for item in above if not item.startswith("-----")), []
        elif inside and (name := re.match(r'name\s*=\s*"([^"]*)"', line)):
            found[name[1]], inside = inside, ""
        elif not line.strip():
            above = []
    return found
