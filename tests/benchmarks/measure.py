"""How the benchmarks measure: CPU time of this process, median over runs, peak memory of a process of its own."""

from __future__ import annotations

import gc
import platform
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from importlib.metadata import version
from pathlib import Path
from statistics import median

LIBRARIES = ("lxml", "music21", "click", "jsonschema", "pluggy")


def machine() -> str:
    """The machine and the versions on it, in one line."""
    name = platform.processor() or platform.machine()
    cpu = Path("/proc/cpuinfo")
    if cpu.exists():
        models = [line.partition(":")[2].strip() for line in cpu.read_text().splitlines() if line.startswith("model name")]
        name = f"{models[0]}, {len(models)} processors" if models else name
    versions = ", ".join(f"{library} {version(library)}" for library in LIBRARIES)
    return f"{name}; {platform.system()}; Python {platform.python_version()}; {versions}"


def seconds(work: Callable[[], object], runs: int = 7) -> float:
    """The median CPU time of some runs after one that does not count. The result of each is let go of outside the time."""
    work()
    taken = []
    for _ in range(runs):
        gc.collect()
        start = time.process_time()
        result = work()
        taken.append(time.process_time() - start)
        del result
    return median(taken)


def wall(command: list[str], runs: int = 9) -> float:
    """The median wall time of a command, in seconds."""
    taken = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        subprocess.run(command, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        taken.append(time.perf_counter() - start)
    return median(taken[1:])


_PEAK = """
import re
{imports}
def most():
    return int(re.search("VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1])
before = most()
{work}
print(most() - before)
"""


def peak(imports: str, work: str) -> float:
    """Megabytes that the work takes at its peak, over what its imports take, in a fresh process (resident set, Linux's VmHWM)."""
    code = _PEAK.format(imports=imports, work=work)
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    return int(done.stdout.split()[-1]) / 1024


def table(title: str, head: tuple[str, ...], rows: Iterable[tuple[object, ...]]) -> str:
    """A Markdown table; numbers with two digits."""
    lines = [f"### {title}", "", "| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    lines += ["| " + " | ".join(f"{cell:.2f}" if isinstance(cell, float) else str(cell) for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"
