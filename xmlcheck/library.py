"""Whole libraries: one line of JSON a file, a summary, and runs that can be stopped at any moment and go on later.

While a run is under way its lines stand in a journal beside the results file (`results.jsonl.journal`), each flushed to disk
when it is done. At the end the lines of this run are written in path order under the final name, whole or not at all, and the
journal goes. A later run with `resume` takes over every line of journal and results whose key still holds.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import IO, Any

from xmlcheck import paths as paths_of
from xmlcheck import write
from xmlcheck.config import Config
from xmlcheck.errors import Unreadable, WriteFailed, XmlcheckError
from xmlcheck.paths import Choices, Found, Outcome
from xmlcheck.registry import Registry
from xmlcheck.version import VERSION

JOURNAL = ".journal"
_HALF = "backslashreplace"
"""Half a character in a file name, which no encoding holds, becomes its JSON escape."""


@dataclass(frozen=True, slots=True)
class Summary:
    """What a library run comes to: files with a report, files that could not be checked, open findings by grade."""

    files: int = 0
    failed: int = 0
    skipped: int = 0
    taken_over: int = 0
    notes: int = 0
    findings: dict[str, int] = field(default_factory=lambda: {"halt": 0, "query": 0, "tidy": 0})


@dataclass(frozen=True, slots=True)
class Done:
    """One file's line, and what it adds to the summary. error: why it could not be checked."""

    path: str
    line: str
    kind: str  # "files", "failed" or "skipped"
    notes: int = 0
    findings: Mapping[str, int] = field(default_factory=dict)
    error: str = ""
    taken_over: bool = False


Told = Callable[[Done, Summary], None]


def run(
    paths: Iterable[Path | str],
    results: Path,
    *,
    choices: Choices | None = None,
    executor: Executor | None = None,
    resume: bool = False,
    told: Told | None = None,
    begun: Callable[[int], None] | None = None,
) -> Summary:
    """Checks all files and writes `results`: a JSON line for each in path order, then a line with the summary.

    begun: called once, with the number of files. told: called after each file, also one taken over, with the summary so far.
    Raises WriteFailed, and XmlcheckError where the plugins or the configuration cannot be used.
    """
    choices = choices or Choices()
    if results.exists() and not _ours(results):
        raise WriteFailed(f"{results}: is there already and holds no results of this tool; give another name.")
    found = paths_of.gather(paths)
    if begun is not None:
        begun(len(found))
    journal = results.with_name(results.name + JOURNAL)
    known = {**_lines(results), **_lines(journal)} if resume else {}
    kept: dict[str, Done] = {}
    todo: list[tuple[Found | Outcome, str]] = []
    for item in found:
        key = "" if isinstance(item, Outcome) else _key(item, choices)
        line = known.get((str(item.path), key)) if key else None
        if line is None:
            todo.append((item, key))
        else:
            kept[str(item.path)] = _taken_over(line)
    summary = Summary()
    for done in kept.values():
        summary = _told(summary, done, told)
    with _opened(journal, [done.line for done in kept.values()]) as stream:
        for done in _work(todo, choices, executor):
            stream.write(done.line + "\n")
            stream.flush()
            os.fsync(stream.fileno())
            kept[done.path] = done
            summary = _told(summary, done, told)
    closing = {**asdict(summary), "taken_over": 0}  # a resumed run's file equals an unbroken one's
    ordered = [kept[str(item.path)].line for item in found]
    write.write({results: _bytes([*ordered, json.dumps({"summary": closing})])})
    journal.unlink(missing_ok=True)
    return summary


def _work(todo: list[tuple[Found | Outcome, str]], choices: Choices, executor: Executor | None) -> Iterator[Done]:
    """Each file's line as it is done, in order. The line is made where the file is checked: less has to travel."""

    def start(item: Found | Outcome, key: str) -> Done | Future[Done]:
        if executor is None or isinstance(item, Outcome):
            return check_one(item, choices, key)
        return executor.submit(check_one, item, choices, key)

    return paths_of.in_order((start(item, key) for item, key in todo), paths_of.AHEAD if executor is not None else 1)


def check_one(item: Found | Outcome, choices: Choices, key: str) -> Done:
    """Checks one file and makes its line."""
    outcome = item if isinstance(item, Outcome) else paths_of.outcome(item, choices)
    data: dict[str, Any] = {"path": str(outcome.path), "key": key}
    report = outcome.report
    if report is None:
        error = str(outcome.error or "")
        data |= {"error": error} if outcome.error is not None else {"skipped": outcome.skipped}
        line = json.dumps(data, ensure_ascii=False)
        return Done(str(outcome.path), line, "failed" if outcome.error is not None else "skipped", error=error)
    data["report"] = report.to_dict()
    line = json.dumps(data, ensure_ascii=False, allow_nan=False)
    return Done(str(outcome.path), line, "files", sum(part.notes for part in report.parts), report.counts())


def _taken_over(line: str) -> Done:
    data = json.loads(line)
    report = data.get("report")
    if report is None:
        return Done(
            data["path"], line, "failed" if "error" in data else "skipped", error=data.get("error", ""), taken_over=True
        )
    return Done(data["path"], line, "files", sum(p["notes"] for p in report["parts"]), report["summary"], taken_over=True)


def _told(summary: Summary, done: Done, told: Told | None) -> Summary:
    numbers = {done.kind: getattr(summary, done.kind) + 1, "taken_over": summary.taken_over + done.taken_over}
    findings = {grade: count + done.findings.get(grade, 0) for grade, count in summary.findings.items()}
    summary = replace(summary, notes=summary.notes + done.notes, findings=findings, **numbers)
    if told is not None:
        told(done, summary)
    return summary


def _key(item: Found, choices: Choices) -> str:
    """What a result depends on: the file's bytes, the tool, the plugins, and the configuration that holds for the file.

    "" where the file or its configuration cannot be read: then the check itself says so, every time.
    """
    try:
        if not item.path.is_file():  # a FIFO would be waited for
            return ""
        data = item.path.read_bytes()
        config = paths_of.config_for(item.path, choices)
        registry = paths_of.registry_for(choices, config)
    except (OSError, XmlcheckError):
        return ""
    content = "\n".join((hashlib.sha256(data).hexdigest(), VERSION, _versions(registry), _settings(config, choices)))
    return hashlib.sha256(content.encode()).hexdigest()


def _versions(registry: Registry) -> str:
    plugins = [f"{plugin.name} {plugin.version} {plugin.mark}" for plugin in registry.plugins]
    return "\n".join((*plugins, *registry.notices))


def _settings(config: Config, choices: Choices) -> str:
    own = sorted((rule, sorted(values.items())) for rule, values in choices.settings.items())
    return f"{config!r}\n{sorted(choices.parts.items())!r}\n{own!r}\n{choices.plugins!r}\n{choices.instruments!r}"


def _lines(file: Path) -> dict[tuple[str, str], str]:
    """The lines of an earlier run by path and key; a line that a kill cut short is passed over."""
    try:
        text = file.read_text(encoding="utf-8", errors="replace")
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise Unreadable(f"{file}: cannot be read ({error.strerror}); leave --resume out to start anew.") from None
    found: dict[tuple[str, str], str] = {}
    for line in text.splitlines():
        try:
            data = json.loads(line)
            found[data["path"], data["key"]] = line
        except (ValueError, KeyError, TypeError):
            continue
    return found


def _ours(file: Path) -> bool:
    """Whether a file begins as results do."""
    try:
        with file.open(encoding="utf-8") as stream:
            data = json.loads(stream.readline() or "{}")
    except (OSError, ValueError):
        return False
    return isinstance(data, dict) and ("summary" in data or {"path", "key"} <= data.keys())


def _opened(journal: Path, lines: Iterable[str]) -> IO[str]:
    """The journal, begun anew with the lines taken over."""
    try:
        journal.parent.mkdir(parents=True, exist_ok=True)
        if journal.exists():
            write.write({journal: _bytes(lines)})
            return journal.open("a", encoding="utf-8", errors=_HALF)
        stream = journal.open("x", encoding="utf-8", errors=_HALF)
        stream.writelines(f"{line}\n" for line in lines)
        return stream
    except OSError as error:
        raise WriteFailed(f"{journal}: cannot be written ({error.strerror}); choose another place.") from None


def _bytes(lines: Iterable[str]) -> bytes:
    return "".join(f"{line}\n" for line in lines).encode(errors=_HALF)


def reports(results: Path) -> Iterator[dict[str, Any]]:
    """The lines of a results file as plain values, without the summary."""
    with results.open(encoding="utf-8") as stream:
        for line in stream:
            data = json.loads(line)
            if "path" in data:
                yield data
