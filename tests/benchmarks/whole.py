"""Whole commands: start-up, comparing two revisions, a handoff of forty parts."""

from __future__ import annotations

import copy
import random
import sys
import tempfile
from pathlib import Path

from lxml import etree

from tests.benchmarks.measure import seconds, table, wall
from tests.benchmarks.stages import MUSIC21
from tests.unit.comparing.edits import Desk, plant
from xmlcheck.comparing import compare, revision
from xmlcheck.handing.answer import handoff
from xmlcheck.paths import check_paths
from xmlcheck.registry import discover
from xmlcheck.source import read_source
from xmlcheck.testing.mini import Part, score

LARGE = "beethoven/opus59no2/movement1.mxl"


def start_up() -> str:
    """The table of start-up times."""
    python = [sys.executable, "-c"]
    bare, libraries = wall([*python, "pass"]), wall([*python, "import lxml.etree, click"])
    rows: list[tuple[object, ...]] = [("python", 1000 * bare, ""), ("import lxml.etree, click", 1000 * libraries, 1.0)]
    for name, command in (
        ("xmlcheck --help", ["--help"]),
        ("xmlcheck about koto", ["about", "koto"]),
        ("xmlcheck instruments", ["instruments"]),
    ):
        taken = wall([sys.executable, "-m", "xmlcheck", *command])
        rows.append((name, 1000 * taken, taken / libraries))
    registry = discover()
    title = f"Start-up with {len(registry.names.entries)} instruments and {len(registry.rules)} rules installed"
    return table(title, ("command", "milliseconds", "against lxml and click"), rows)


def comparing() -> str:
    """The table of comparing."""
    old = read_source(MUSIC21 / LARGE).data
    desk = Desk(copy.deepcopy(revision(old).root), random.Random(5))
    for kind in ("pitch", "transposed", "note removed", "dynamic", "bars deleted", "rhythm"):
        plant(desk, kind)
    new = etree.tostring(desk.root)
    reading = seconds(lambda: (revision(old), revision(new)), 5)
    taken = seconds(lambda: compare(old, new), 5)
    row = (LARGE, f"{len(old) / 1e6:.1f}", reading, taken, taken / reading)
    return table("Two revisions of a score", ("file", "MB", "reading both, s", "compare, s", "ratio"), [row])


def handing() -> str:
    """The table of a handoff."""
    rng = random.Random(1)
    names = ("Flute", "Oboe", "Bassoon", "Trombone", "Tuba", "Violin", "Viola", "Violoncello", "Koto", "Oud")
    parts = []
    for number in range(40):
        bars = [" ".join(f"{rng.choice('DEFGA')}4.e" for _ in range(8)) if rng.random() < 0.7 else "R" for _ in range(60)]
        parts.append(Part("tempo=90 " + " | ".join(bars), name=f"{names[number % 10]} {number // 10 + 1}"))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "score.musicxml").write_bytes(score(parts))
        for number, one in enumerate(parts):
            (folder / f"{number:02} {one.name}.musicxml").write_bytes(score(one))
        files = sorted(folder.iterdir())
        checks = seconds(lambda: list(check_paths(files)), 3)
        answer = seconds(lambda: handoff(folder), 3)
    rows = [("40 parts and a score", checks, answer, answer / checks)]
    return table("A handoff", ("folder", "checking its files, s", "handoff, s", "ratio"), rows)
