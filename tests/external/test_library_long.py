"""Exports in floods, runs killed and resumed, a real cluster: the sizes that a copyist's week and a publisher's shelf have.

The files are made here and are ours; the reference library is Dask's distributed scheduler, started on the loopback address.
"""

from __future__ import annotations

import os
import random
import resource
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from xmlcheck.library import run
from xmlcheck.paths import Outcome
from xmlcheck.testing import score
from xmlcheck.watch import Pace, watch

pytestmark = pytest.mark.long
NOTES = "CDEFGAB"


def shelf(folder: Path, count: int, bars: int = 8) -> Path:
    chance = random.Random(5)
    folder.mkdir()
    for number in range(count):
        line = " ".join(f"{chance.choice(NOTES)}{chance.choice('345')}.q" for _ in range(bars * 4))
        (folder / f"part{number:04}.musicxml").write_bytes(score(line))
    return folder


def test_a_flood_of_exports_is_checked_each_complete_state_once(tmp_path: Path) -> None:
    """1,000 exports within a minute: some in pieces, some deleted half-way, some overwritten twice."""
    chance, stop = random.Random(1), threading.Event()
    told: list[Outcome] = []
    pace = Pace(settle=0.4, patience=4, sweep=2, tick=0.1)
    runs = watch(tmp_path, stop=stop.is_set, pace=pace)
    watcher = threading.Thread(target=lambda: told.extend(slim(outcome) for outcome in runs))
    watcher.start()
    time.sleep(0.5)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    expected: dict[str, int] = {}
    end = time.monotonic() + 50
    for number in range(1000):
        path, data = tmp_path / f"cue{number}.musicxml", score(f"{NOTES[number % 7]}4.w {NOTES[number % 5]}4.w")
        kind = chance.choice(["plain"] * 7 + ["pieces", "deleted", "renamed"])
        if kind == "deleted":
            path.write_bytes(data[: len(data) // 2])
            path.unlink()
            continue
        if kind == "pieces":
            with path.open("wb") as stream:
                for part in (data[:200], data[200:600], data[600:]):
                    stream.write(part)
                    stream.flush()
                    time.sleep(0.02)
        elif kind == "renamed":
            path.with_suffix(".tmp").write_bytes(data)
            os.replace(path.with_suffix(".tmp"), path)
        else:
            path.write_bytes(data)
        expected[path.name] = 1
        time.sleep(max(0.0, (end - time.monotonic()) / (1000 - number) - 0.002))
    twice = sorted(expected)[:40]
    for turn in (1, 2):
        time.sleep(3)
        for name in twice:
            (tmp_path / name).write_bytes(score(f"{'GA'[turn - 1]}4.h F4.h"))
            expected[name] += 1
    time.sleep(6)
    stop.set()
    watcher.join(60)
    counts: dict[str, int] = {}
    for outcome in told:
        assert outcome.error is None
        counts[outcome.path.name] = counts.get(outcome.path.name, 0) + 1
    assert counts == expected
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    assert grown < 60, f"memory grew by {grown:.0f} MiB"


def slim(outcome: Outcome) -> Outcome:
    """Without report and bytes, so that what the test keeps does not count as memory of the watch."""
    return Outcome(outcome.path, error=outcome.error)


def test_killed_twenty_times_and_resumed_gives_what_one_run_gives(tmp_path: Path) -> None:
    folder, whole, results = shelf(tmp_path / "shelf", 200), tmp_path / "whole.jsonl", tmp_path / "killed.jsonl"
    run([folder], whole)
    chance = random.Random(7)
    command = [sys.executable, "-m", "xmlcheck", "library", str(folder), "--results", str(results), "--resume", "--quiet"]
    for _ in range(20):
        process = subprocess.Popen(command)
        time.sleep(chance.uniform(0.2, 1.5))
        process.send_signal(signal.SIGKILL)
        process.wait()
    subprocess.run(command, check=False)
    assert results.read_bytes() == whole.read_bytes()


def test_a_cluster_gives_the_same_though_a_worker_is_killed(tmp_path: Path) -> None:
    pytest.importorskip("distributed", reason="the extra `cluster` is not installed")
    folder, whole, results = shelf(tmp_path / "shelf", 120, bars=60), tmp_path / "whole.jsonl", tmp_path / "cluster.jsonl"
    run([folder], whole)
    address = "tcp://127.0.0.1:18786"
    python = [sys.executable, "-m"]
    processes = [
        subprocess.Popen(
            [*python, "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "18786", "--no-dashboard"]
        )
    ]
    try:
        for _ in range(2):
            processes.append(
                subprocess.Popen(
                    [*python, "distributed.cli.dask_worker", address, "--nthreads", "1", "--no-dashboard", "--no-nanny"],
                    cwd=tmp_path,
                )
            )
        time.sleep(6)
        options = ["library", str(folder), "--results", str(results), "--executor", f"dask:{address}", "--quiet"]
        job = subprocess.Popen([*python, "xmlcheck", *options])
        time.sleep(4)
        processes[1].kill()
        assert job.wait(120) in (0, 1)
    finally:
        for process in processes:
            process.kill()
            process.wait()
    assert results.read_bytes() == whole.read_bytes()
