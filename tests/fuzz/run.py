"""A fuzzing run by hand: `python -m tests.fuzz.run --minutes 30 --seed 1`. Prints counts by kind, and where failing inputs lie.

Input N of seed S is drawn from "S/N" and nothing else, so `--only N` makes it again.
"""

from __future__ import annotations

import argparse
import signal
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from tests.fuzz.bounds import FOR_A_MEGABYTE, SECONDS, Hung, memory_bound, time_bound
from tests.fuzz.kinds import KINDS
from tests.fuzz.pen import Pen
from tests.fuzz.properties import Broken, check, examine, registry, size


def one(seed: int, number: int, kinds: tuple[str, ...]) -> tuple[str, bytes]:
    """Input `number` of a run: its kind and its bytes."""
    pen = Pen.seeded(f"{seed}/{number}")
    kind = kinds[number % len(kinds)]
    more, data = KINDS[kind](pen)
    return f"{kind} {more}".strip(), data


def verdict(data: bytes) -> tuple[str, str]:
    """What became of it in a word or two, and what was broken (empty: nothing)."""
    try:
        with time_bound(SECONDS + FOR_A_MEGABYTE * size(data) / 1e6):
            return examine(data), ""
    except Broken as error:
        return "BROKEN", str(error)
    except MemoryError:
        return "BROKEN", "over the bound of memory"
    except Hung as error:
        return "HUNG", str(error)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--start", type=int, default=0, help="number of the first input")
    parser.add_argument("--only", type=int, help="this input alone, which is then kept")
    parser.add_argument("--kinds", default=",".join(KINDS), help="which inputs, with commas between")
    given = parser.parse_args()
    kinds = tuple(given.kinds.split(","))
    tally = Tally(given.seed, Path(tempfile.mkdtemp(prefix="fuzz-")))
    registry()
    check(b'<score-partwise version="4.0"/>')
    memory_bound()
    began = time.monotonic()
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        if given.only is not None:
            tally.add(given.only, *one(given.seed, given.only, kinds), keep=True)
            return
        for number in count(given.start):
            if time.monotonic() >= began + given.minutes * 60:
                break
            tally.add(number, *one(given.seed, number, kinds))
    except KeyboardInterrupt:  # stopped by hand: what was done until then counts
        pass
    finally:
        tally.tell()
        print(
            f"seed {given.seed}: {(time.monotonic() - began) / 60:.1f} minutes, from input {given.start}, kinds {given.kinds}"
        )


@dataclass
class Tally:
    """Counts what became of the inputs, by kind; keeps failing ones in `folder`, three at most of those that fail alike."""

    seed: int
    folder: Path
    counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    told: Counter[str] = field(default_factory=Counter)

    def add(self, number: int, kind: str, data: bytes, keep: bool = False) -> None:
        what, broken = verdict(data)
        self.counts[kind, what] += 1
        if broken:
            self.told[broken[:80]] += 1
        if keep or (broken and self.told[broken[:80]] <= 3):
            file = self.folder / f"{self.seed}-{number}.bin"
            file.write_bytes(data)
            print(
                f"{what}: seed {self.seed}, input {number} ({kind}, {len(data)} bytes): {broken or 'nothing broken'}\n  {file}",
                flush=True,
            )

    def tell(self) -> None:
        for (kind, what), number in sorted(self.counts.items()):
            print(f"{number:7} {kind:28} {what}")
        for text, number in self.told.most_common():
            print(f"{number:7} times: {text}")
        broken = sum(self.told.values())
        print(f"{self.counts.total()} inputs, {broken} of them broke a promise")


if __name__ == "__main__":
    main()
