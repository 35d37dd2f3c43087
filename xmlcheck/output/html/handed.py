"""A handoff as a page: what does not agree, cue by cue, the files, the producer's summary, and the players' advance sheets.

Eats the answer (schema `handoff-1`) as plain values, and the sheets as Markdown, which they are written in.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from xmlcheck.finding import Grade
from xmlcheck.output.html import render, words
from xmlcheck.output.html.markdown import Block, blocks
from xmlcheck.output.html.plain import finite, records, table, text, texts
from xmlcheck.output.html.views import WHOLE, FindingView
from xmlcheck.output.page import printable


@dataclass(frozen=True, slots=True)
class Group:
    """One cue, or all that is of none: its key on the page, a line about it, its files as rows, and what does not agree."""

    key: str
    name: str
    told: str
    files: tuple[tuple[str, ...], ...]
    found: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class HandedView:
    """All of the page. sheets: name and blocks of each."""

    name: str
    counts: tuple[tuple[str, str, int, str], ...]
    groups: tuple[Group, ...]
    found: tuple[FindingView, ...]
    kinds: tuple[str, ...]
    desks: tuple[str, ...]
    inferred: tuple[str, ...]
    sheets: tuple[tuple[str, tuple[Block, ...]], ...]

    @property
    def named(self) -> tuple[tuple[str, str], ...]:
        """Keys and names of the groups that have something in them."""
        return tuple((group.key, group.name) for group in self.groups if group.found)


def make(answer: Mapping[str, Any], sheets: Mapping[str, str] | None = None) -> str:
    """The page of a handoff. sheets: file name to Markdown, as they are written beside it."""
    return render.page("handed.html.j2", it=view(answer, sheets or {}))


def view(answer: Mapping[str, Any], sheets: Mapping[str, str]) -> HandedView:
    """What the page shows."""
    cues = list(records(answer.get("cues")))
    keys = {text(cue.get("name")): f"c{number}" for number, cue in enumerate(cues, 1)}
    found = [_found(item, number, keys) for number, item in enumerate(records(answer.get("disagreements")), 1)]
    files = list(records(answer.get("files")))
    groups = [Group(keys[text(cue.get("name"))], *_cue(cue), _files(files, text(cue.get("name"))), ()) for cue in cues]
    loose = [item for item in files if text(item.get("cue")) not in keys]
    if loose or any(item.part == WHOLE for item in found):
        groups.append(Group(WHOLE, "The folder as a whole", "", tuple(map(_file, loose)), ()))
    groups = [Group(one.key, one.name, one.told, one.files, tuple(i for i in found if i.part == one.key)) for one in groups]
    summary = table(answer, "summary")
    return HandedView(
        name=printable(text(answer.get("name"))),
        counts=tuple(
            (grade.value, words.SHAPES[grade], int(finite(summary.get(grade.value)) or 0), words.GRADES[grade])
            for grade in reversed(Grade)
        ),
        groups=tuple(groups),
        found=tuple(item for group in groups for item in group.found),
        kinds=tuple(sorted({item.rule for item in found})),
        desks=tuple(sorted({item.to for item in found if item.to})),
        inferred=tuple(map(words.signs, texts(answer.get("inferred")))),
        sheets=tuple((printable(name), blocks(sheet)) for name, sheet in sheets.items()),
    )


def _cue(cue: Mapping[str, Any]) -> tuple[str, str]:
    name, title = printable(text(cue.get("name"))), printable(text(cue.get("title")))
    told = [f"score: {printable(text(cue.get('score')))}" if cue.get("score") else "no score"]
    told += [words.several(int(bars), "bar")] if (bars := finite(cue.get("bars"))) else []
    told += [words.clock(seconds)] if (seconds := finite(cue.get("seconds"))) is not None else []
    told += [f"revision {printable(text(cue.get('revision')))}"] if cue.get("revision") else []
    return f"Cue {name}" + (f": {title}" if title and title != name else ""), ", ".join(filter(None, told))


def _files(files: Iterable[Mapping[str, Any]], cue: str) -> tuple[tuple[str, ...], ...]:
    return tuple(_file(item) for item in files if text(item.get("cue")) == cue)


def _file(item: Mapping[str, Any]) -> tuple[str, ...]:
    counts = table(item, "counts")
    shapes = {grade.value: words.SHAPES[grade] for grade in reversed(Grade)}
    told = ", ".join(
        f"{shape}{words.FIXED}{name}{words.FIXED}{text(counts.get(name))}"
        for name, shape in shapes.items()
        if finite(counts.get(name))
    )
    own = told or ("none" if counts else "not checked")
    line = ", ".join(map(printable, texts(item.get("line"))))
    note = words.signs(text(item.get("note")))
    return printable(text(item.get("name"))), text(item.get("role")), printable(text(item.get("part"))), line, own, note


def _found(item: Mapping[str, Any], number: int, keys: Mapping[str, str]) -> FindingView:
    grade = next((one for one in Grade if one.value == item.get("grade")), Grade.QUERY)
    kind, said, cue = (text(item.get(key)) for key in ("kind", "text", "cue"))
    bar, to_bar, part = (printable(text(item.get(key))) for key in ("bar", "to_bar", "part"))
    place = (
        f"bars {bar}{words.DASH}{to_bar}" if bar and to_bar else f"bar {bar}" if bar else "whole part" if part else "whole cue"
    )
    file = printable(text(item.get("file")))
    stamp = "\n".join((kind, cue, file, part, bar, said))
    return FindingView(
        key=f"f{number}",
        number=number,
        id=hashlib.sha256(stamp.encode("utf-8", "replace")).hexdigest()[:12],
        grade=grade.value,
        shape=words.SHAPES[grade],
        rule=printable(kind),
        part=keys.get(cue, WHOLE),
        part_name=f"Cue {printable(cue)}" if cue else "The folder",
        label=part or file or kind.partition(".")[2].replace("-", " "),
        place=place,
        time="",
        rehearsal="",
        message=words.sentence(said),
        notes="",
        count=1,
        why="",
        remedy="",
        alternatives=(),
        caution="",
        to=printable(text(item.get("to"))),
        certainty="",
        sure="",
        vouchers=(),
        cite=(f"File: {file}",) if file else (),
        also=texts(table(item, "values").get("also")),
        plan="",
        accepted="",
    )
