"""Where the time of a check goes, rule by rule: python -m tests.benchmarks.profile [FILE]

Times of rules and of what they share, as multiples of lxml's bare parse of the file. What several rules share is told apart;
the first to ask for a view of the chair pays for it.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from operator import itemgetter
from typing import Any

from lxml import etree

from tests.benchmarks.measure import seconds
from tests.benchmarks.stages import FILES, MUSIC21
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.registry import Registry, discover
from xmlcheck.source import read_source

SHOWN = 40


def main() -> None:
    name = sys.argv[1] if len(sys.argv) > 1 else FILES[0]
    source, registry = read_source(MUSIC21 / name), discover()
    base = seconds(lambda: etree.fromstring(source.data), 15)
    check_source(source, registry, Config())
    times: dict[str, float] = defaultdict(float)
    timed = _timed(registry, times)
    start = time.process_time()
    check_source(source, timed, Config())
    whole = time.process_time() - start
    print(
        f"{name}: lxml {1000 * base:.0f} ms, whole check {whole / base:.1f} times as long, rules {sum(times.values()) / base:.1f}"
    )
    for rule, taken in sorted(times.items(), key=itemgetter(1), reverse=True)[:SHOWN]:
        print(f"{taken / base:8.3f}  {rule}")


def _timed(registry: Registry, times: dict[str, float]) -> Registry:
    """The registry with rules and derived values that tell their time. Rules are run to their end at once."""

    def watched(name: str, work: Callable[..., Any], whole: Callable[[Any], Any]) -> Callable[..., Any]:
        def run(**needs: Any) -> Any:
            start = time.process_time()
            result = whole(work(**needs))
            times[name] += time.process_time() - start
            return result

        return run

    rules = tuple(replace(rule, check=watched(rule.id, rule.check, lambda hits: iter(list(hits)))) for rule in registry.rules)
    derived = {
        kind: replace(item, compute=watched(f"shared: {kind.__name__}", item.compute, lambda value: value))
        for kind, item in registry.derived.items()
    }
    return replace(registry, rules=rules, derived=derived)


if __name__ == "__main__":
    main()
