"""The whole answer: a folder or zip in, everything that is to be said about it out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from xmlcheck import config as config_file
from xmlcheck.brought import brought
from xmlcheck.checking import check_document
from xmlcheck.config import Config
from xmlcheck.document import Document
from xmlcheck.errors import Unreadable
from xmlcheck.finding import Report
from xmlcheck.handing import naming
from xmlcheck.handing.cue import CueAnswer, teller
from xmlcheck.handing.cue import answer as cue_answer
from xmlcheck.handing.cues import group
from xmlcheck.handing.declared import Declared, parse
from xmlcheck.handing.folder import DECLARATION, Item, gather
from xmlcheck.handing.house import expected
from xmlcheck.handing.instruments import doublings_unsaid, instruments, misspelt
from xmlcheck.handing.kinds import told
from xmlcheck.handing.pages import cues as page_cues
from xmlcheck.handing.pages import header, tuning_unsaid, turns
from xmlcheck.handing.reading import Check, Failed, Music, read_all
from xmlcheck.handing.reads import reading, stale, supplied_for
from xmlcheck.handing.sheets import player_sheets, producer, producer_sheet
from xmlcheck.handing.sync import MIDI, in_sync
from xmlcheck.handing.values import CueEntry, Disagreement, FileEntry, Handoff
from xmlcheck.model import Score
from xmlcheck.names import Names
from xmlcheck.partname import fold
from xmlcheck.paths import Choices, config_for, registry_for, settled


@dataclass(frozen=True, slots=True)
class Seen:
    """The folder as read and grouped, before it is told: what `--init` and the sheets start from."""

    items: tuple[Item, ...]
    declared: Declared
    files: tuple[Music | Failed, ...]
    cues: tuple[CueAnswer, ...]
    inferred: tuple[str, ...]
    config: Config
    names: Names


def look(path: Path, choices: Choices | None = None, declaration: Path | None = None) -> Seen:
    """Reads, checks, groups and compares. declaration: a handoff.toml elsewhere. Raises errors.XmlcheckError."""
    items = gather(path)
    declared, where = _declared(items, path, declaration)
    check, config, names, notices = _check(path, choices or Choices(), declared)
    files = read_all(items, check)
    music = [file for file in files if isinstance(file, Music)]
    if not music:
        bad = next((file for file in files if isinstance(file, Failed)), None)
        raise Unreadable(f"{path}: no score or part in it that can be read" + (f" ({bad.error})" if bad else "") + ".")
    inferred: list[str] = [] if where else [f"No {DECLARATION}: cues, score and parts are told by names and music."]
    inferred += notices
    cues = [cue_answer(one, declared) for one in group(music, declared, inferred)]
    return Seen(tuple(items), declared, tuple(files), tuple(cues), tuple(inferred), config, names)


def _declared(items: list[Item], path: Path, elsewhere: Path | None) -> tuple[Declared, str]:
    if elsewhere is not None:
        try:
            return parse(elsewhere.read_bytes(), str(elsewhere)), str(elsewhere)
        except OSError as error:
            raise Unreadable(f"{elsewhere}: cannot be read ({error.strerror}).") from None
    for item in sorted(items, key=lambda item: item.name.count("/")):
        if PurePosixPath(item.name).name == DECLARATION:
            return parse(item.data, f"{path}/{item.name}"), item.name
    return Declared(), ""


def _check(path: Path, choices: Choices, declared: Declared) -> tuple[Check, Config, Names, tuple[str, ...]]:
    """The check of one source by all rules, under the configuration with what is declared over it; and what is to be said of it."""
    base = config_for(path / config_file.NAME if path.is_dir() else path, choices)
    registry = registry_for(choices, base)
    config, notices = brought(settled(declared.config(base), registry)[0], registry)

    def check(document: Document, score: Score) -> Report:
        return check_document(document, score, registry, config, given=choices.parts)

    return check, config, registry.names, notices


def agreement(seen: Seen) -> Iterator[Disagreement]:
    """All disagreements of files, names and music, in the order of the cues."""
    for file in seen.files:
        if isinstance(file, Failed):
            text = str(file.error).removeprefix(f"{file.name}: ").rstrip(".")
            yield told("files.unreadable", text, naming.cue_number(file.name) or None, file.name)
    yield from misspelt(seen.cues, seen.declared.players, seen.names)
    for one in seen.cues:
        if one.group.declared is not None and not one.group.files:
            yield told("declared.cue", f"no file of cue {one.group.name}", one.group.name)
            continue
        failed = [file for file in seen.files if isinstance(file, Failed)]
        for item in one.found:
            if item.kind == "files.missing" and any(_explains(file.name, item, one) for file in failed):
                continue  # its file is there and cannot be read
            yield item
        yield from _wanted(one, seen)
        named = {item.file for item in one.found if item.kind.startswith(("files.", "names.", "revision."))}
        yield from (item for item in _naming(one, seen) if item.file not in named)


def _explains(name: str, item: Disagreement, one: CueAnswer) -> bool:
    words, part = fold(naming.words(name)), fold(item.part or "")
    number = naming.cue_number(name)
    return (
        bool(part)
        and (words == part or words.endswith(f" {part}") or words.startswith(part))
        and number in ("", one.group.name)
    )


def _wanted(one: CueAnswer, seen: Seen) -> Iterator[Disagreement]:
    """What is declared of parts, players and revision."""
    cue, name = one.group.declared, one.group.name
    wanted = cue.parts if cue is not None and cue.parts is not None else seen.declared.parts
    there = {fold(text) for entry in one.entries if entry.role == "part" for text in (entry.part or "", *entry.line)}
    lines = {fold(line.name) for pair in one.pairs for line in pair.lines}
    for part in wanted or ():
        if fold(part) not in there | lines:
            yield told("files.missing", f'"{part}" is expected; neither the score nor a part has it', name, None, part)
    if cue is not None and cue.revision and one.score is not None and one.score.revision not in ("", cue.revision.upper()):
        text = f"the score is revision {one.score.revision}; revision {cue.revision} is declared"
        yield told("revision.mixed", text, name, one.score.name)


def _naming(one: CueAnswer, seen: Seen) -> Iterator[Disagreement]:
    """The house pattern, `{cue} {part} rev {revision}`: each field stands for any text, cue and revision for their own."""
    if not seen.declared.naming:
        return
    counts = Counter(entry.name for entry in one.entries)
    for entry in one.entries:
        told_name = PurePosixPath(entry.name).stem
        if counts[entry.name] > 1:  # a file of several parts has a name of its own for them
            entry = replace(entry, part=naming.words(entry.name), line=())
        wanted = expected(seen.declared.naming, entry, one)
        if fold(told_name) not in [fold(text) for text in wanted]:
            yield told(
                "files.naming",
                f'named "{told_name}"; by the house pattern "{wanted[0]}"',
                one.group.name,
                entry.name,
                entry.part,
            )


def entries(seen: Seen) -> Iterator[FileEntry]:
    """All files of the folder, each once."""
    for one in seen.cues:
        yield from one.entries
    failed = {file.name: file for file in seen.files if isinstance(file, Failed)}
    for name in failed:
        yield FileEntry(name, "unreadable", naming.cue_number(name) or None)
    for item in seen.items:
        if item.is_music or PurePosixPath(item.name).name in (DECLARATION, config_file.NAME):
            continue
        number = naming.cue_number(item.name) or None
        if item.suffix == ".pdf":
            yield FileEntry(item.name, "supplied", number, note="supplied, not checked")
        else:
            yield FileEntry(item.name, "mock-up" if item.suffix in MIDI else "other", number)


def cue_entries(seen: Seen) -> Iterator[CueEntry]:
    """The cues as told."""
    for one in seen.cues:
        score = one.score
        first = score or next(iter(one.group.files), None)
        yield CueEntry(
            name=one.group.name,
            title=first.header.title if first is not None else "",
            score=score.name if score is not None else None,
            bars=len(first.frame.numbers) if first is not None else 0,
            seconds=round(first.seconds, 3) if first is not None and first.seconds is not None else None,
            lines=tuple(line.name for pair in one.pairs for line in pair.lines),
            revision=(first.revision or None) if first is not None else None,
        )


def handoff(
    path: Path | str, *, choices: Choices | None = None, declaration: Path | None = None, names: bool = True
) -> Handoff:
    """What is to be said about a handoff: a folder or a zip. names: whether players' names may stand in it.

    Raises errors.XmlcheckError where nothing in it can be read, or the declaration does not say what it must.
    """
    path = Path(path)
    return answer(look(path, choices, declaration), path.name or str(path), names)


def answer(seen: Seen, name: str, names: bool = True) -> Handoff:
    """The answer about a folder that was looked at."""
    inferred = [*seen.inferred, *(text for one in seen.cues for text in one.inferred)]
    found = list(agreement(seen))
    for one in seen.cues:
        found += in_sync(one, seen.items, seen.declared, inferred)
        found += desk(one, seen)
    summary = producer(seen.cues, seen.declared, found, names)
    title = seen.declared.title or next((one.score.score.title for one in seen.cues if one.score is not None), "") or name
    sheets = {**player_sheets(seen.cues, seen.declared, names), "producer.md": producer_sheet(title, summary)}
    return Handoff(name, tuple(cue_entries(seen)), tuple(entries(seen)), tuple(found), tuple(inferred), summary, sheets)


def desk(one: CueAnswer, seen: Seen) -> Iterator[Disagreement]:
    """What the player meets on the stand: notation, pages, header; and supplied pages that are stale."""
    pitch = seen.declared.pitch_standard
    wanted = f"A4 = {pitch:g} Hz" if pitch else ""
    for pair in one.pairs:
        for stave in pair.parts:
            tell = teller(one.group.name, stave.music.name, stave.name)
            supplied = supplied_for(stave, seen.items) is not None
            yield from reading(stave, seen.declared, supplied, tell)
            yield from instruments(stave, seen.config, seen.names, tell)
            yield from turns(stave, tell)
            yield from page_cues(stave, tell)
            if one.score is not None and stave.index == 0:
                lost = [*doublings_unsaid(stave, seen.names), *tuning_unsaid(stave, seen.declared)]
                yield from header(stave, one.score, wanted, lost, tell)
    yield from stale(one, seen.items)
