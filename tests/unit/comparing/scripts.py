"""Random edit scripts on real files, and what the comparison says about them."""

from __future__ import annotations

import copy
import random
from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from lxml import etree

from tests.corpus_files import music21_files
from tests.unit.comparing.edits import KINDS, Desk, NoPlace, plant
from tests.unit.comparing.plain_model import applied, model, told
from xmlcheck.comparing.change import plain
from xmlcheck.comparing.revision import Revision, revision
from xmlcheck.comparing.scores import compare_music
from xmlcheck.source import read_source

LARGEST = 1_500_000
"""Bytes of a file that scripts are tried on; larger ones say nothing more and take long."""


@dataclass
class Outcome:
    """What became of a script. wrong: empty where the report turns OLD into NEW at no greater cost than the script."""

    seed: int
    name: str
    edits: tuple[str, ...]
    planted: float
    reported: float
    wrong: str = ""


@dataclass
class Tally:
    scripts: int = 0
    edits: int = 0
    exact: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    failed: list[Outcome] = field(default_factory=list)

    def add(self, outcome: Outcome) -> None:
        self.scripts += 1
        self.edits += len(outcome.edits)
        self.kinds.update(outcome.edits)
        if outcome.wrong:
            self.failed.append(outcome)
        else:
            self.exact += len(outcome.edits)

    def __str__(self) -> str:
        lines = [
            f"{self.scripts} scripts, {self.edits} edits, {self.exact} reported exactly ({self.exact / max(1, self.edits):.3%})"
        ]
        lines += [f"{dict(self.kinds)}"]
        lines += [
            f"seed {one.seed} {one.name} {', '.join(one.edits)}: planted {one.planted:.2f}, reported {one.reported:.2f}: {one.wrong}"
            for one in self.failed
        ]
        return "\n".join(lines)


@lru_cache(maxsize=1)
def candidates() -> tuple[Path, ...]:
    """Files part by part with at least six bars, as many in every part."""
    return tuple(path for path in music21_files() if path.stat().st_size < LARGEST)


@lru_cache(maxsize=64)
def opened(path: Path) -> Revision | None:
    source = read_source(path)
    if len(source.data) > LARGEST:
        return None
    found = revision(source)
    sizes = {len(part.measures) for part in found.score.parts}
    if (
        found.root.tag != "score-partwise"
        or len(sizes) != 1
        or sizes.pop() < 6
        or len({part.id for part in found.score.parts}) < len(found.score.parts)
    ):
        return None
    return found


def script(seed: int) -> Outcome:
    """Draws a file and 1 to 8 edits, plants them, compares."""
    rng = random.Random(seed)
    files = candidates()
    old = None
    while old is None:
        path = rng.choice(files)
        old = opened(path)
    while True:
        desk = Desk(copy.deepcopy(old.root), rng)
        done: list[str] = []
        cost = 0.0
        wanted = rng.randint(1, 8)
        for _ in range(40):
            if len(done) == wanted:
                break
            kind = rng.choice(KINDS)
            before = copy.deepcopy(desk.root) if kind.startswith("note added") else None
            try:
                cost += plant(desk, kind)
            except NoPlace:
                if before is not None:
                    continue
                continue
            done.append(kind)
        if done:
            break
        old = None
        while old is None:
            path = rng.choice(files)
            old = opened(path)
    new = revision(etree.tostring(desk.root))
    return judge(seed, path.name, tuple(done), cost, old, new)


def judge(seed: int, name: str, edits: tuple[str, ...], planted: float, old: Revision, new: Revision) -> Outcome:
    music = compare_music(old, new)
    reported = sum(change.cost for change in music.changes)
    outcome = Outcome(seed, name, edits, planted, reported)
    report = {"parts": plain(music.parts), "runs": plain(music.runs), "changes": plain(music.changes)}
    before, after = model(old), model(new)
    if told(before) == told(after):
        outcome.wrong = "the script cancels" if music.changes else ""
        return outcome
    try:
        result = told(applied(report, before, after))
    except AssertionError as error:
        outcome.wrong = f"cannot be applied: {error}"
        return outcome
    expected = told(after)
    if result != expected:
        places = [
            (part, n)
            for part, own in expected.items()
            for n, bar in enumerate(own)
            if n >= len(result[part]) or result[part][n] != bar
        ]
        outcome.wrong = f"does not give the new file: {places[:4]}"
    elif reported > planted + 1e-6:
        outcome.wrong = "costs more: " + "; ".join(f"{c.kind} {c.new and c.new.bar} {c.text}" for c in music.changes[:12])
    return outcome
