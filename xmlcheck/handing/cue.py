"""One cue: its parts held against its score, and what is the matter with each told once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from xmlcheck.handing import naming
from xmlcheck.handing.compare import Tell, compare
from xmlcheck.handing.cues import Group
from xmlcheck.handing.declared import NOT_PLAYED, Declared
from xmlcheck.handing.frame import aligned
from xmlcheck.handing.frames import bars_differ, frame_differs
from xmlcheck.handing.kinds import told
from xmlcheck.handing.pairing import Pair, Stave, pair
from xmlcheck.handing.reading import Music
from xmlcheck.handing.values import Disagreement, FileEntry
from xmlcheck.partname import fold, part_name

SILENT_ROLES = frozenset(("click", "click track", "guide", "guide track", "prelay", "effects", "sfx", "fx", "reference"))
"""Names of lines that nobody plays live: common practice, no source."""
OTHER_REVISION = 0.25
"""Share of the bars with notes from which on differences are those of another revision (ours)."""
FEWEST = 3


@dataclass(slots=True)
class CueAnswer:
    """What came of one cue. entries: its files; staves: (player's line, part) pairs for the sheets."""

    group: Group
    score: Music | None
    entries: list[FileEntry] = field(default_factory=list)
    found: list[Disagreement] = field(default_factory=list)
    inferred: list[str] = field(default_factory=list)
    pairs: tuple[Pair, ...] = ()


def answer(group: Group, declared: Declared) -> CueAnswer:
    """Pairs and compares the files of a cue."""
    score = group.score()
    result = CueAnswer(group, score)
    name = group.name
    for file, told_name in group.misfiled:
        result.found.append(
            told("names.cue", f"its name says cue {told_name}, the file itself says {file.header.cue}", name, file.name)
        )
    misfiled = {file.name for file, _ in group.misfiled}
    others = group.other_scores(score)
    for file in others:
        result.found.append(
            told("files.two-scores", f"another score of this cue beside {score.name if score else ''}", name, file.name)
        )
        result.entries.append(_entry(file, "score", group))
    files = [file for file in group.files if file is not score and file not in others]
    files = _without_copies(files, name, result)
    if score is None:
        _without_score(files, name, result)
        return result
    result.entries.insert(0, _entry(score, "score", group))
    if group.declared is None or not group.declared.score:
        result.inferred.append(f"Cue {name}: {score.name} is the score, because it holds the most parts.")
    pairing = pair(score, files)
    result.pairs = pairing.pairs
    by_file: dict[str, list[Disagreement]] = {file.name: [] for file in files}
    for one in pairing.pairs:
        _pair(one, score, declared, result, by_file)
    for extra in pairing.extra:
        text = f'"{extra.name}" has no line in the score'
        by_file[extra.music.name].append(told("files.extra", text, name, extra.music.name, extra.name))
        result.entries.append(_entry(extra.music, "part", group, extra))
    for double, first in pairing.doubles:
        text = f'"{double.name}" is a second part for the line of {first.music.name}'
        by_file[double.music.name].append(told("files.duplicate", text, name, double.music.name, double.name))
        result.entries.append(_entry(double.music, "part", group, double))
    for file in files:
        result.found += _folded(file, score, by_file[file.name] + list(_names(file, score, name, misfiled)), name)
    return result


def _entry(
    file: Music, role: str, group: Group, stave: Stave | None = None, one: Pair | None = None, view: str = ""
) -> FileEntry:
    return FileEntry(
        name=file.name,
        role=role,
        cue=group.name,
        part=stave.name if stave is not None else None,
        instrument=stave.instrument if stave is not None else None,
        line=tuple(line.name for line in one.lines) if one is not None else (),
        evidence=one.evidence if one is not None else "",
        view=view,
        revision=file.revision or None,
        counts=file.report.counts(),
        report=file.report,
    )


def _without_copies(files: list[Music], name: str, result: CueAnswer) -> list[Music]:
    """Files with the very bytes of another are told and left out."""
    seen: dict[str, Music] = {}
    kept = []
    for file in sorted(files, key=lambda file: (len(file.name), file.name)):
        first = seen.setdefault(file.source.member_sha256, file)
        if first is file:
            kept.append(file)
        else:
            result.found.append(told("files.duplicate", f"the same file as {first.name}", name, file.name))
            result.entries.append(_entry(file, "part", result.group, Stave(file, 0)))
    return kept


def _without_score(files: list[Music], name: str, result: CueAnswer) -> None:
    """No score: the frames of the parts are held against that of the first with a tempo."""
    result.found.append(told("files.no-score", "no score of this cue; its parts are only held against one another", name))
    for file in files:
        result.entries.append(_entry(file, "part", result.group, Stave(file, 0)))
    first = next((file for file in files if file.tempo.given), files[0] if files else None)
    for file in files:
        if first is None or file is first:
            continue
        tell = teller(name, file.name, Stave(file, 0).name)
        bars = aligned(first.contents[0], file.contents[0], first.frame, file.frame)
        if len(first.frame.numbers) != len(file.frame.numbers):
            text = f"{len(file.frame.numbers)} bars, {len(first.frame.numbers)} in {first.name}"
            result.found.append(tell("frame.bars", text))
            continue
        line = replace(first.frame, keys=file.frame.keys)
        result.found += frame_differs(bars, first.frame, line, file.frame, tell)


def teller(cue: str, file: str, part: str) -> Tell:
    """`told` with cue, file and part filled in."""
    return lambda kind, text, **more: told(kind, text, cue, file, part, **more)


def _pair(one: Pair, score: Music, declared: Declared, result: CueAnswer, by_file: dict[str, list[Disagreement]]) -> None:
    line = one.lines[0]
    name = result.group.name
    if not one.parts:
        result.found += _missing(line, declared, result)
        return
    everywhere = tuple(frozenset[str]().union(*texts) for texts in zip(*(c.words for c in score.contents), strict=False))
    mine, its = one.both()
    views = {}
    for stave in one.parts:
        tell = teller(name, stave.music.name, stave.name)
        bars = aligned(mine, stave.content, score.frame, stave.music.frame)
        own = by_file[stave.music.name]
        own += bars_differ(bars, score.frame, stave.music.frame, tell)
        own += frame_differs(bars, score.frame, score.line_frame(line.index), stave.music.line_frame(stave.index), tell)
        own += _called(one, stave, tell, result)
    first = one.parts[0]
    tell = teller(name, first.music.name, first.name)
    bars = aligned(mine, its, score.frame, first.music.frame)
    verdict = compare(mine, its, bars, score.frame.numbers, everywhere, tell)
    by_file[first.music.name] += verdict.disagreements
    views[id(first)] = verdict.view
    if verdict.view:
        result.inferred.append(
            f"Cue {name}: {first.music.name} stands octaves from the score throughout: taken for another view."
        )
    result.entries += [_entry(stave.music, "part", result.group, stave, one, views.get(id(stave), "")) for stave in one.parts]


def _missing(line: Stave, declared: Declared, result: CueAnswer) -> Iterator[Disagreement]:
    name, cue = line.name, result.group.name
    role = next((role for key, role in declared.roles.items() if fold(key) == fold(name)), None)
    if role == NOT_PLAYED:
        return
    if role is None and fold(name) in SILENT_ROLES:
        result.inferred.append(f'Cue {cue}: "{name}" is not played live, by its name.')
        return
    wanted = result.group.declared.parts if result.group.declared is not None else None
    wanted = wanted if wanted is not None else declared.parts
    if line.content.silent or (wanted is not None and fold(name) not in map(fold, wanted)):
        result.inferred.append(
            f'Cue {cue}: "{name}" has no part and ' + ("no notes." if line.content.silent else "none is declared.")
        )
        return
    yield told("files.missing", f'no part for "{name}"', cue, None, name)


def _called(one: Pair, stave: Stave, tell: Tell, result: CueAnswer) -> Iterator[Disagreement]:
    """A heading, or a file's name, that names another line than the one whose music the part holds."""
    lines = [line.name for line in one.lines]
    others = {fold(part.display_name or part.name) for part in one.lines[0].music.score.parts} - set(map(fold, lines))
    heading, file = stave.name, naming.words(stave.music.name)
    mine, its = part_name(lines[0]), part_name(heading)
    if not any(fold(heading) == fold(name) for name in lines):
        same = stave.instrument is not None and stave.instrument == one.lines[0].instrument
        alone = len(one.parts) == 1 and len(one.lines) == 1
        if fold(heading) in others or not (same and (not alone or mine.number == its.number)):
            yield tell("names.part", f'its heading is "{heading}", its music that of "{lines[0]}"')
            return
    wrong = [name for name in others if name and (fold(file) == name or fold(file).endswith(f" {name}"))]
    if wrong and not any(fold(file).endswith(fold(name)) for name in lines):
        yield tell("names.part", f'the file is named after "{file}", its music is that of "{lines[0]}"')


def _names(file: Music, score: Music, name: str, misfiled: set[str]) -> Iterator[Disagreement]:
    """Title, cue number and revision of a file against the score's."""
    part = Stave(file, 0).name
    mine, its = score.header, file.header
    if mine.title and its.title and not naming.same(mine.title, its.title):
        yield told("names.title", f'"{its.title}" in the part, "{mine.title}" in the score', name, file.name, part)
    named = naming.cue_number(file.name)
    if its.cue and its.cue != (mine.cue or naming.cue_number(score.name) or its.cue):
        yield told("names.cue", f"the part says cue {its.cue}, the score {mine.cue or name}", name, file.name, part)
    elif its.cue and named and its.cue != named and file.name not in misfiled:
        yield told("names.cue", f"its name says cue {named}, the file itself says {its.cue}", name, file.name, part)
    inner, outer = its.revision, naming.revision(file.name)
    if score.revision and file.revision and file.revision != score.revision:
        text = f"the part is revision {file.revision}, the score revision {score.revision}"
        yield told("revision.mixed", text, name, file.name, part)
    elif inner and outer and inner != outer:
        text = f"its name says revision {outer}, its header revision {inner}"
        yield told("revision.mixed", text, name, file.name, part)


def _folded(file: Music, score: Music, found: list[Disagreement], name: str) -> list[Disagreement]:
    """One cause, one finding: what another revision explains is told with it."""
    explained = ("frame.", "music.")
    if any(item.kind == "files.extra" for item in found):
        return [item for item in found if item.kind.startswith("files.")]
    mixed = next((item for item in found if item.kind == "revision.mixed"), None)
    music = [item for item in found if item.kind.startswith(explained)]
    if mixed is None:
        bars = sum(int(item.values.get("bars", 0)) for item in music if item.kind == "music.notes")
        bars += sum(item.kind == "frame.bars" for item in music)
        busy = sum(map(bool, Stave(file, 0).content.tones))
        whole = {item.kind for item in music} >= {"music.notes", "frame.bars"}
        if not (whole or (bars >= FEWEST and bars >= OTHER_REVISION * busy and len(music) > 1)):
            return found
        part = Stave(file, 0).name
        mixed = told("revision.mixed", "so much differs from the score that it is another revision", name, file.name, part)
        found = [mixed, *found]
    if not music:
        return found
    first = music[0]
    text = f"{mixed.text}: {first.text}" + (f" (bar {first.bar})" if first.bar else "")
    text += f"; {len(music)} differences in all" if len(music) > 1 else ""
    also = tuple(dict.fromkeys(item.kind for item in music))
    whole_one = replace(mixed, text=text, bar=first.bar, values={**mixed.values, "also": also})
    return [whole_one, *(item for item in found if item is not mixed and item not in music)]
