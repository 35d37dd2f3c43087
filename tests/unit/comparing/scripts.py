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

MOST = 8
"""Edits of one script."""
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


@lru_cache(maxsize=64)
def opened(path: Path) -> Revision | None:
    """A file that scripts can be planted in: part by part, at least six bars, as many in every part. None for others."""
    if path.stat().st_size > LARGEST:
        return None
    source = read_source(path)
    if len(source.data) > LARGEST:
        return None
    found = revision(source)
    sizes = {len(part.measures) for part in found.score.parts}
    ids = {part.id for part in found.score.parts}
    fits = found.root.tag == "score-partwise" and len(sizes) == 1 and min(sizes) >= 6 and len(ids) == len(found.score.parts)
    return found if fits else None


def script(seed: int) -> Outcome:
    """Draws a file and 1 to 8 edits, plants them, compares. A file in which no edit finds a place is drawn again."""
    rng = random.Random(seed)
    files = music21_files()
    while True:
        path = rng.choice(files)
        old = opened(path)
        if old is None:
            continue
        desk = Desk(copy.deepcopy(old.root), rng)
        done, cost = _planted(desk, rng)
        if not done:
            continue
        outcome = judge(seed, path.name, tuple(done), cost, old, revision(etree.tostring(desk.root)))
        if outcome is not None:
            return outcome


def _planted(desk: Desk, rng: random.Random) -> tuple[list[str], float]:
    done: list[str] = []
    cost = 0.0
    wanted = rng.randint(1, MOST)
    for _ in range(5 * MOST):
        if len(done) == wanted:
            break
        kind = rng.choice(KINDS)
        try:
            cost += plant(desk, kind)
        except NoPlace:
            continue
        done.append(kind)
    return done, cost


def judge(seed: int, name: str, edits: tuple[str, ...], planted: float, old: Revision, new: Revision) -> Outcome | None:
    """Whether the report turns OLD into NEW, and at what cost. None where the edits cancel: the script is then drawn again."""
    music = compare_music(old, new)
    reported = round(sum(change.cost for change in music.changes), 6)
    outcome = Outcome(seed, name, edits, planted, reported)
    report = {"parts": plain(music.parts), "runs": plain(music.runs), "changes": plain(music.changes)}
    before, after = model(old), model(new)
    if told(before) == told(after):
        return None
    try:
        result = told(applied(report, before, after))
    except AssertionError as error:
        outcome.wrong = f"cannot be applied: {error}"
        return outcome
    expected = told(after)
    if result != expected:
        places = [(part, n) for part, own in expected.items() for n, bar in enumerate(own) if result[part][n] != bar]
        outcome.wrong = f"does not give the new file: {places[:4]}"
    elif reported > planted + 1e-6:
        outcome.wrong = "costs more: " + "; ".join(f"{c.kind} {c.new and c.new.bar} {c.text}" for c in music.changes[:12])
    return outcome
