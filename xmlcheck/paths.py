"""From paths to outcomes: which files a run takes, which configuration and instruments hold for each, one outcome per file.

One bad file never stops the rest. Results come in path order, with an executor too.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

from xmlcheck import config as config_file
from xmlcheck import lexer
from xmlcheck.brought import brought
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.document import ROOTS, parse
from xmlcheck.errors import Unreadable, XmlcheckError
from xmlcheck.finding import Report
from xmlcheck.model import Score
from xmlcheck.reader import read as read_score
from xmlcheck.registry import Registry, discover
from xmlcheck.source import Source, from_bytes, original, read_source

T = TypeVar("T")
SUFFIXES = (".musicxml", ".xml", ".mxl")
STDIN = Path("-")
AHEAD = 64
"""Files handed to an executor before the first of them is told."""


@dataclass(frozen=True, slots=True)
class Found:
    """One file to check; root: the folder it was found in, None where the file itself was named."""

    path: Path
    root: Path | None = None


@dataclass(frozen=True, slots=True)
class Choices:
    """What whoever starts a run decides. config: None looks for xmlcheck.toml beside each score, then above it.

    parts: part id or name to instrument, over the configuration. settings: rule id to named values, likewise. plugins: folders
    whose Python is used. instruments: profile files.
    """

    config: Config | Path | None = None
    parts: Mapping[str, str] = field(default_factory=dict)
    plugins: tuple[Path, ...] = ()
    instruments: tuple[Path, ...] = ()
    settings: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one file: a report, an error, or a reason to skip it (an annotated file met in a folder).

    data: the file's bytes without check marks, which the report speaks of. config: the configuration that held.
    """

    path: Path
    report: Report | None = None
    error: XmlcheckError | None = None
    skipped: str | None = None
    data: bytes | None = field(default=None, repr=False)
    config: Config = field(default_factory=Config, repr=False)


def check(
    source: Path | str | bytes,
    *,
    parts: Mapping[str, str] | None = None,
    config: Config | Path | str | None = None,
    registry: Registry | None = None,
) -> Report:
    """The report of one score: a path, "-" for standard input, or the bytes themselves.

    parts: part id or name to instrument (profile id or any of its names). config: a configuration or its file; None looks for
    xmlcheck.toml beside a path and above it. registry: None takes what is installed. Raises errors.XmlcheckError.
    """
    given = from_bytes(source, "score") if isinstance(source, bytes) else read_source(source)
    choices = Choices(Path(config) if isinstance(config, str) else config, parts or {})
    place = None if isinstance(source, bytes) or str(source) == "-" else Path(source)
    return _checked(original(given), config_for(place, choices), choices, registry)


def read(source: Path | str | bytes) -> Score:
    """The music of one score as frozen values, without a check: a path, "-" for standard input, or the bytes themselves.

    Raises errors.XmlcheckError.
    """
    given = from_bytes(source, "score") if isinstance(source, bytes) else read_source(source)
    return read_score(parse(original(given)))


def check_paths(
    paths: Iterable[Path | str],
    executor: Executor | None = None,
    *,
    choices: Choices | None = None,
    registry: Registry | None = None,
) -> Iterator[Outcome]:
    """One outcome per file, in path order; folders are searched. Never raises for what is wrong with one file or path.

    executor: runs the checks side by side, threads or processes; with processes each takes what is installed, so `registry`
    is for a run without an executor or with threads.
    """
    return outcomes(gather(paths), choices or Choices(), executor, registry)


def gather(paths: Iterable[Path | str]) -> list[Found | Outcome]:
    """The files of a run as `expand` finds them; a path that gives none is an outcome with its error."""
    found: dict[Path, Found | Outcome] = {}
    for path in map(Path, paths):
        try:
            items: list[Found | Outcome] = list(expand(path))
        except XmlcheckError as error:
            items = [Outcome(path, error=error)]
        for item in items:
            key = path if path == STDIN or isinstance(item, Outcome) else item.path.resolve()
            named = isinstance(item, Found) and item.root is None
            if named or key not in found:  # a file that is named counts as named, whatever folder it is also in
                found[key] = item
    return list(found.values())


def outcomes(
    found: Iterable[Found | Outcome], choices: Choices, executor: Executor | None = None, registry: Registry | None = None
) -> Iterator[Outcome]:
    """The outcomes of files found, in order; an outcome among them is passed on."""

    def start(item: Found | Outcome) -> Outcome | Future[Outcome]:
        if isinstance(item, Outcome):
            return item
        if executor is None or item.path == STDIN:  # standard input belongs to this process
            return outcome(item, choices, registry)
        return executor.submit(outcome, item, choices, registry)

    return in_order(map(start, found), AHEAD if executor is not None else 1)


def in_order(steps: Iterable[T | Future[T]], ahead: int) -> Iterator[T]:
    """The results of steps as they were started; at most `ahead` are under way or waiting, so that memory does not grow."""
    waiting: deque[T | Future[T]] = deque()
    for step in steps:
        waiting.append(step)
        if len(waiting) >= ahead:
            first = waiting.popleft()
            yield first.result() if isinstance(first, Future) else first
    for step in waiting:
        yield step.result() if isinstance(step, Future) else step


def outcome(item: Found, choices: Choices, registry: Registry | None = None) -> Outcome:
    """Checks one file. All that goes wrong with it becomes its outcome."""
    config = Config()
    try:
        source = read_source(item.path)
        reason = _skip(source, item)
        if reason:
            return Outcome(item.path, skipped=reason)
        source = original(source)
        config = config_for(None if item.path == STDIN else item.path, choices)
        report = _checked(source, config, choices, registry)
    except XmlcheckError as error:
        return Outcome(item.path, error=error, config=config)
    except Exception as error:  # a fault of ours or of a plugin in one file; the others are still checked
        fault = XmlcheckError(f"{item.path}: the check itself failed ({type(error).__name__}: {error}); please report it.")
        fault.__cause__ = error
        return Outcome(item.path, error=fault, config=config)
    return Outcome(item.path, report, data=source.container or source.data, config=config)


def expand(path: Path) -> Iterator[Found]:
    """The file named, or the scores in the folder named, sorted, hidden ones left out. Raises Unreadable for none."""
    try:
        if path != STDIN:
            path.stat()
    except FileNotFoundError:
        raise Unreadable(f"{path}: no such file or folder; check the spelling.") from None
    except (OSError, ValueError) as error:
        cause = error.strerror if isinstance(error, OSError) else error
        raise Unreadable(f"{path}: cannot be found ({cause}); check the spelling.") from None
    if path == STDIN or path.is_file():
        yield Found(path)
    elif path.is_dir():
        scores = [Found(score, path) for score in _scores(path)]
        if not scores:
            raise Unreadable(f"{path}: no scores in this folder (none of {', '.join(SUFFIXES)}).")
        yield from scores
    else:
        raise Unreadable(f"{path}: is neither a file nor a folder.")


def _scores(folder: Path) -> Iterator[Path]:
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith((".", "__MACOSX")))
        for name in sorted(files):
            if name.lower().endswith(SUFFIXES) and not name.startswith("."):
                yield Path(place, name)


def _skip(source: Source, item: Found) -> str | None:
    """Why a file met in a folder is no input. A file that is named is always one."""
    if item.root is None:
        return None
    text = lexer.units(source.data, source.encoding)[0]
    root = lexer.root_start(text)
    if item.path.suffix.lower() == ".xml" and root is not None and root[1].rpartition(":")[2] not in (*ROOTS, "opus"):
        return f"not a score (its root is {root[1]!r})"
    if lexer.strip(source.data, source.encoding).marks:
        return "an annotated file; name it to have it checked"
    return None


def config_for(path: Path | None, choices: Choices) -> Config:
    """The configuration that holds for a score. Raises BadConfig."""
    if isinstance(choices.config, Config):
        return choices.config
    if choices.config is not None:
        return config_file.load(choices.config)
    file = config_file.find(path.parent) if path is not None else None
    return config_file.load(file) if file is not None else Config()


def _checked(source: Source, config: Config, choices: Choices, registry: Registry | None) -> Report:
    if registry is None:
        registry = registry_for(choices, config)
    if choices.settings:
        over = {rule: {**config.settings.get(rule, {}), **values} for rule, values in choices.settings.items()}
        config = replace(config, settings={**config.settings, **over})
    config, notices = settled(config, registry)
    report = check_source(source, registry, config, given=choices.parts)
    return replace(report, notices=(*notices, *report.notices)) if notices else report


def registry_for(choices: Choices, config: Config) -> Registry:
    """What is installed, with the folders and files that choices and configuration name. Raises BadPlugin."""
    data = (*config.plugins, *config.instruments, *choices.instruments)
    return _registry(choices.plugins, data, tuple(_stamp(path) for path in (*choices.plugins, *data)))


@lru_cache(maxsize=4)
def _registry(folders: tuple[Path, ...], data: tuple[Path, ...], stamps: tuple[int, ...]) -> Registry:
    """Kept for the next file, because reading all plugins takes longer than many a check. `stamps` notice edits."""
    return discover(folders, data)


def _stamp(path: Path) -> int:
    """The time of the last change in a file or folder, nanoseconds; 0 where it does not exist, which `discover` reports."""
    try:
        files = [path, *path.rglob("*")] if path.is_dir() else [path]
        return max(file.stat().st_mtime_ns for file in files)
    except OSError:
        return 0


def settled(config: Config, registry: Registry) -> tuple[Config, tuple[str, ...]]:
    """The configuration with profile ids for instrument names and what players bring as tables, and notices for what is not known.

    Raises BadConfig for an instrument, a table or a key that no plugin has.
    """
    where = str(config.path or config_file.NAME)
    names = registry.names
    players = {
        key: replace(player, instrument=player.instrument and names.named(player.instrument, f"{where}: players.{key}"))
        for key, player in config.players.items()
    }
    ensemble = {names.named(key, f"{where}: ensemble"): tables for key, tables in config.ensemble.items()}
    for key, value in config.parts.items():
        names.named(value, f"{where}: parts.{key}")
    rules = [rule.id for rule in registry.rules]
    notices = tuple(
        f'{config_file.NAME}: no installed plugin has the rule "{rule}"{config_file.nearest(rule, rules)}.'
        for rule in dict.fromkeys((*config.grades, *config.settings))
        if rule not in rules
    )
    config, missed = brought(replace(config, players=players, ensemble=ensemble), registry)
    return config, (*notices, *missed)
