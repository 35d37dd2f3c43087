"""What a handoff costs: at most 1.5 times the sum of checking its files, for 40 parts and their score.

The bound is the project's own. The best of three runs each, taken in turn, so that a busy machine weighs on both alike.
"""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest

from xmlcheck.handing.answer import handoff
from xmlcheck.paths import check_paths
from xmlcheck.testing.mini import Part, score

PARTS, BARS, MOST = 40, 60, 1.5
NAMES = ("Flute", "Oboe", "Bassoon", "Trombone", "Tuba", "Violin", "Viola", "Violoncello", "Koto", "Oud")


@pytest.mark.long
def test_forty_parts_and_a_score(tmp_path: Path) -> None:
    rng = random.Random(1)
    parts = []
    for number in range(PARTS):
        bars = [" ".join(f"{rng.choice('DEFGA')}4.e" for _ in range(8)) if rng.random() < 0.7 else "R" for _ in range(BARS)]
        parts.append(Part("tempo=90 " + " | ".join(bars), name=f"{NAMES[number % 10]} {number // 10 + 1}"))
    (tmp_path / "score.musicxml").write_bytes(score(parts))
    for number, one in enumerate(parts):
        (tmp_path / f"{number:02} {one.name}.musicxml").write_bytes(score(one))
    files = sorted(tmp_path.iterdir())
    list(check_paths(files[:2]))  # plugins and profiles are loaded once
    checks, answers = [], []
    for _ in range(3):
        start = time.perf_counter()
        assert all(outcome.report is not None for outcome in check_paths(files))
        checks.append(time.perf_counter() - start)
        start = time.perf_counter()
        answer = handoff(tmp_path)
        answers.append(time.perf_counter() - start)
    assert answer.disagreements == ()
    assert min(answers) <= MOST * min(checks), (min(answers), min(checks))
