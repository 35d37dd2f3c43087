"""How much faster two processes check a library than one: python -m tests.benchmarks.two_processes

Not a test: a ratio of times says something only on a machine that does nothing else. Prints seconds and the ratio; the results
of both runs must be the same bytes.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.external.test_library_long import shelf


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder, took = shelf(Path(name) / "shelf", 200, bars=1500), []
        for jobs in (1, 2):
            results = Path(name) / f"{jobs}.jsonl"
            command = [sys.executable, "-m", "xmlcheck", "library", str(folder), "--results", str(results), "--quiet"]
            start = time.monotonic()
            subprocess.run([*command, "-j", str(jobs)], check=False)
            took.append(time.monotonic() - start)
        same = (Path(name) / "1.jsonl").read_bytes() == (Path(name) / "2.jsonl").read_bytes()
        print(f"one process {took[0]:.1f} s, two {took[1]:.1f} s: {took[0] / took[1]:.2f} times as fast; same results: {same}")


if __name__ == "__main__":
    main()
