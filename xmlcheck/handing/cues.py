"""Which files belong to which cue, and which of them is its score: as declared, else by numbers in names, folders, titles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import PurePosixPath

from xmlcheck.handing import naming
from xmlcheck.handing.declared import Cue, Declared
from xmlcheck.handing.reading import Music
from xmlcheck.partname import fold

ENOUGH = 0.6
"""Share of all the parts that the largest file must hold to be the score, where no name says so (ours)."""


@dataclass(slots=True)
class Group:
    """The files of one cue. misfiled: (file, cue that its name says)."""

    name: str
    declared: Cue | None = None
    files: list[Music] = field(default_factory=list)
    misfiled: list[tuple[Music, str]] = field(default_factory=list)

    def score(self) -> Music | None:
        """The file with the most parts, if it has several and more than the others; of equals the one whose name says so."""
        if self.declared is not None and self.declared.score:
            return next((file for file in self.files if file.name == self.declared.score), None)
        if not self.files:
            return None
        best = max(self.files, key=_like_a_score)
        most = len(best.score.parts)
        if most < 2 and not naming.says_score(best.name):
            return None
        rest = [len(file.score.parts) for file in self.files if file is not best]
        if naming.says_score(best.name) or not rest:
            return best
        return best if most > max(rest) and most >= ENOUGH * sum(rest) else None

    def other_scores(self, score: Music | None) -> list[Music]:
        """Further files that hold as many parts as the score, and whose name does not name a part."""
        if score is None:
            return []
        most = len(score.score.parts)
        return [file for file in self.files if file is not score and len(file.score.parts) >= max(3, 0.8 * most)]


def _like_a_score(file: Music) -> tuple[int, bool, str]:
    """More parts, a name that says so, a later revision."""
    return len(file.score.parts), naming.says_score(file.name), file.revision if naming.revision(file.name) else ""


def group(files: Sequence[Music], declared: Declared, inferred: list[str]) -> list[Group]:
    """The cues in order of number or name. What was not declared is told in `inferred`."""
    groups: dict[str, Group] = {_key(cue): Group(cue.number or cue.name, cue) for cue in declared.cues}
    by_name = {id(file): naming.cue_number(PurePosixPath(file.item.name).name) for file in files}
    ways: set[str] = set()
    for file in files:
        key, way = _cue_of(file, declared, len(files))
        told = file.header.cue
        if told and key != told and way == "a number in the file's name" and told in by_name.values():
            misfiled = key
            key = _declared_key(told, declared) or told
            groups.setdefault(key, Group(key)).misfiled.append((file, misfiled))
        groups.setdefault(key, Group(key)).files.append(file)
        ways.add(way)
    found = [groups[key] for key in sorted(groups, key=_order)]
    if not declared.cues and found:
        names = ", ".join(one.name for one in found)
        inferred.append(f"{len(found)} cue{'s' if len(found) > 1 else ''} ({names}), told by {' or '.join(sorted(ways))}.")
    return found


def _key(cue: Cue) -> str:
    return naming.cue_number(cue.number) or fold(cue.number or cue.name)


def _declared_key(text: str, declared: Declared) -> str:
    """The declared cue that a text names, or empty."""
    number, folded = naming.cue_number(text), f" {fold(text.replace('_', ' '))} "
    for cue in declared.cues:
        own = naming.cue_number(cue.number)
        if (own and own == number) or any(name and f" {fold(name)} " in folded for name in (cue.name, cue.title)):
            return _key(cue)
    return ""


def _cue_of(file: Music, declared: Declared, count: int) -> tuple[str, str]:
    path = PurePosixPath(file.item.name)
    number = naming.cue_number(path.name)
    if number:
        return _declared_key(number, declared) or number, "a number in the file's name"
    for text in (path.name, *reversed(path.parts[:-1]), file.header.title):
        if key := _declared_key(text, declared):
            return key, "what is declared"
    if file.header.cue:
        return file.header.cue, "a number in the file"
    for name in reversed(path.parts[:-1]):
        if folder := naming.cue_number(name):
            return folder, "a number in the folder's name"
    if len(path.parts) > 1 and fold(path.parts[0]) not in ("parts", "part", "scores", "score", "stimmen", "parties"):
        return path.parts[0], "folders"
    return file.header.title or "the cue", "titles"


def _order(key: str) -> tuple[int, int, str]:
    """Reel and number first, then the text."""
    head, _, tail = key.partition("m")
    digits = "".join(sign for sign in tail if sign.isdigit())
    if head.isdigit() and digits:
        return int(head), int(digits), key
    return 10_000, 0, key
