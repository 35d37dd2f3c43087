"""The same findings whatever order Python gives to sets: two processes with other hash seeds."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz.kinds import written
from tests.fuzz.pen import Pen
from tests.fuzz.properties import check
from xmlcheck.annotation import annotate, player_copy
from xmlcheck.output import json as findings_file

ROOT = Path(__file__).resolve().parents[2]


def digests(count: int) -> str:
    """One line a written score: what its findings, its annotated file and its player's copy come to."""
    lines = []
    for number in range(count):
        _, data = written(Pen.seeded(f"hash/{number}"))
        report = check(data)
        made = (findings_file.text(report).encode(), annotate(data, report, "all"), player_copy(data, report))
        lines.append(" ".join(hashlib.sha256(one).hexdigest()[:16] for one in (data, *made)))
    return "\n".join(lines)


@pytest.mark.parametrize("count", [6, pytest.param(60, marks=pytest.mark.long)])
def test_findings_do_not_depend_on_the_hash_seed(count: int) -> None:
    code = f"from tests.fuzz.test_hash_seeds import digests; print(digests({count}))"
    answers = []
    for seed in ("1", "2"):
        environment = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": os.pathsep.join((str(ROOT), *filter(None, sys.path))),
        }
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", code], capture_output=True, text=True, cwd=ROOT, env=environment
        )
        assert done.returncode == 0, done.stderr
        answers.append(done.stdout.split("\n"))
    assert len(answers[0]) == count + 1
    assert answers[0] == answers[1]
