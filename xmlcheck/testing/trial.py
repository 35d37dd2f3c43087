"""One case tried: the whole chain from bytes to annotated bytes, and what is wrong, in words a player could read."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from xmlcheck import schemas
from xmlcheck.annotation import Marks, annotate, unmark
from xmlcheck.checking import check_source
from xmlcheck.document import parse
from xmlcheck.errors import XmlcheckError
from xmlcheck.finding import SCHEMA, Finding, Report
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes
from xmlcheck.testing import xsd
from xmlcheck.testing.cases import OWN, Case
from xmlcheck.testing.mini import MiniError

_LABEL = re.compile(r"\[check ([\d, ]+)\]")


def problems(case: Case, registry: Registry | None = None) -> list[str]:
    """What is wrong with a case, each a paragraph; empty where it holds. registry: all installed plugins where not given."""
    try:
        registry = case.registry(registry if registry is not None else plugins_for(case.path))
        data = case.data()
        report = report_of(case, registry, data)
        again = report_of(case, registry, data)
    except (XmlcheckError, MiniError) as error:
        return [str(error)]
    found = [finding for finding in report.findings if finding.rule == case.rule]
    wrong = _mismatch(case, report, found, registry)
    if _json(report) != _json(again):
        wrong.append("Two runs over the same bytes give different findings.")
    wrong += [f"The findings break their schema: {fault}" for fault in schemas.validate(SCHEMA, report.to_dict())]
    return wrong + _chain(data, report)


def report_of(case: Case, registry: Registry, data: bytes) -> Report:
    """What a check says about the case's bytes. `registry`: as `case.registry` gives it. Raises XmlcheckError."""
    source = from_bytes(data, f"{case.rule}.musicxml")
    return check_source(source, registry, case.configuration(), given=case.instruments())


def explain(case: Case, wrong: list[str]) -> str:
    """The case and what is wrong with it."""
    profile = case.profile if isinstance(case.profile, str) or case.profile is None else case.profile["id"]
    kind = "finds nothing here" if case.expect is None else "finds this"
    lines = [f"{case.rule}: {case.name}", f"({case.path}; a case in which the rule {kind})", "", "Music:"]
    lines += [f"    {line.strip()}" for line in case.told.splitlines() if line.strip()]
    lines += [f"Instrument: {profile or 'as recognised' if not case.recognise else 'by its name'}", ""]
    return "\n".join([*lines, *wrong])


@cache
def plugins_for(path: Path) -> Registry:
    """All installed plugins, and the plugin whose folder holds this file where it is not installed."""
    folder = next((parent for parent in path.resolve().parents if (parent / "plugin.toml").is_file()), None)
    return _discovered(folder)


@cache
def _discovered(folder: Path | None) -> Registry:
    registry = discover() if folder is None else _discovered(None)
    if folder is None or any(plugin.name == folder.name for plugin in registry.plugins):
        return registry
    return discover(folders=(folder,))


def _json(report: Report) -> bytes:
    return json.dumps(report.to_dict(), ensure_ascii=False).encode()


def _mismatch(case: Case, report: Report, found: list[Finding], registry: Registry) -> list[str]:
    """Whether the findings of the rule are those that are expected."""
    if registry.rule(case.rule) is None:
        notices = "".join(f"\n    {notice}" for notice in registry.notices)
        return [f"No plugin brings the rule {case.rule}.{notices}"]
    failed = [notice for notice in report.notices if notice.startswith(f"Rule {case.rule} ")]
    if failed:
        return failed
    skipped = [line for part in report.parts for line in part.unchecked if line.startswith(f"{case.rule} ")]
    unasked = bool(skipped) and not found and len(skipped) >= len(report.parts)
    if case.asked and unasked:
        return [f"The rule was never asked: {'; '.join(skipped)}. A case that means this says asked = false."]
    if not case.asked and not unasked:
        return ["The case says asked = false, but the profile has all that the rule needs."]
    expect = case.expect or ()
    if len(found) == len(expect) and all(_agrees(want, finding) for want, finding in zip(expect, found, strict=True)):
        return []
    lines = ["Expected:", *([f"    {_wanted(want)}" for want in expect] or ["    nothing"]), "Found:"]
    lines += [f"    {_told(finding, expect)}" for finding in found] or ["    nothing"]
    others = [finding for finding in report.findings if finding.rule != case.rule]
    lines += ["Other rules found:", *(f"    {_told(finding, ())}" for finding in others)] if others else []
    return ["\n".join(lines)]


def _agrees(want: Mapping[str, Any], finding: Finding) -> bool:
    return all(same(value, _value(key, finding)) for key, value in want.items())


def _value(key: str, finding: Finding) -> Any:
    if key not in OWN:
        return finding.values.get(key)
    place = finding.place
    if key == "at":
        return f"{place.bar}:{place.beat}" if place.bar is not None else ""
    if key == "to_bar":
        return place.to_bar
    value = getattr(finding, key)
    return value.value if key in ("grade", "certainty") else value


def same(want: Any, value: Any) -> bool:
    """Whether a value is the expected one; a number to as many decimals as the expectation has."""
    if isinstance(want, (list, tuple)) and isinstance(value, (list, tuple)):
        return len(want) == len(value) and all(same(one, other) for one, other in zip(want, value, strict=True))
    if isinstance(want, Mapping) and isinstance(value, Mapping):
        return want.keys() == value.keys() and all(same(want[key], value[key]) for key in want)
    numbers = [isinstance(item, (int, float)) and not isinstance(item, bool) for item in (want, value)]
    if all(numbers):
        decimals = len(repr(want).partition(".")[2]) if isinstance(want, float) else 0
        return bool(round(value, decimals) == want)
    return type(want) is type(value) and bool(want == value)


def _said(value: Any) -> str:
    """A value as it is read; a text that looks like a number keeps its quotes."""
    return f'"{value}"' if isinstance(value, str) and re.fullmatch(r"[+-]?[\d.]+", value) else str(value)


def _wanted(want: Mapping[str, Any]) -> str:
    rest = [f"{key} {_said(value)}" for key, value in want.items() if key != "at"]
    return "  ".join([f"at {want['at']}" if "at" in want else "anywhere", *rest])


def _told(finding: Finding, expect: tuple[Mapping[str, Any], ...]) -> str:
    keys = dict.fromkeys(key for want in expect for key in want if key not in ("at", "grade"))
    values = [f"{key} {_said(_value(key, finding))}" for key in keys]
    place = _value("at", finding) or "no place"
    part = f" in {finding.part}" if finding.part not in (None, "P1") else ""
    name = "" if expect else f"  {finding.rule}"
    return "  ".join([f"at {place}{part}{name}", f"grade {finding.grade.value}", *values, f'"{finding.message}"'])


def _chain(data: bytes, report: Report) -> list[str]:
    """What annotating must keep to, whatever was found."""
    wrong = []
    both: tuple[Marks, ...] = ("usual", "all")
    try:
        for marks in both:
            marked = annotate(data, report, marks)
            if unmark(marked) != data:
                wrong.append(f"Taking the marks out ({marks}) does not give the original bytes back.")
            parse(from_bytes(marked, "the annotated file"))
    except XmlcheckError as error:
        return [*wrong, f"Annotating: {error}"]
    text = from_bytes(marked, "annotated")
    shown = {int(n) for found in _LABEL.findall(text.data.decode(text.encoding)) for n in found.split(",")}
    lost = [finding.number for finding in report.findings if finding.annotated and finding.number not in shown]
    wrong += [f"Finding {number} says that it is marked in the score, and is not." for number in lost]
    if xsd.available():
        before, after = (Counter(xsd.errors(item)) for item in (from_bytes(data, "original").data, text.data))
        wrong += [f"Annotating adds a schema error: {text}" for text in after - before]
    return wrong
