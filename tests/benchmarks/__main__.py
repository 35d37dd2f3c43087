"""All benchmarks, as Markdown tables: python -m tests.benchmarks [speed|memory|growth|start|compare|handoff ...]"""

from __future__ import annotations

import sys
from collections.abc import Callable

from tests.benchmarks.growth import growth
from tests.benchmarks.measure import machine
from tests.benchmarks.stages import memory, speed
from tests.benchmarks.whole import comparing, handing, start_up

ALL: dict[str, Callable[[], str]] = {
    "speed": speed,
    "memory": memory,
    "growth": growth,
    "start": start_up,
    "compare": comparing,
    "handoff": handing,
}


def main() -> None:
    print(f"{machine()}\n")
    for name in sys.argv[1:] or ALL:
        print(ALL[name](), flush=True)


if __name__ == "__main__":
    main()
