"""String quartets of the repertoire, as the general-purpose library music21 bundles them: next to nothing holds them up, at little cost.

The library has neither the cello suites nor the violin partitas; its quartets (Beethoven, Haydn, Mozart, Schumann) are 195,000 notes
and 6,700 chords.
"""

from __future__ import annotations

import time
from collections import Counter
from pathlib import Path

import pytest

from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Grade
from xmlcheck.registry import Registry, discover
from xmlcheck.source import read_source

AREAS = ("strings.", "tuning.", "bowed.", "plucked.")
COMPOSERS = ("haydn", "mozart", "beethoven", "schumann_robert", "schumann_clara")
SECONDS_A_NOTE = 0.05e-3


def quartets(*composers: str) -> list[Path]:
    music21 = pytest.importorskip("music21")
    corpus = Path(music21.__file__).parent / "corpus"
    return sorted(path for composer in composers or COMPOSERS for path in (corpus / composer).rglob("*.mxl"))


def run(files: list[Path], registry: Registry, config: Config | None = None) -> tuple[float, int, Counter[Grade]]:
    """Seconds, notes, and hits of the string rules by grade."""
    hits: Counter[Grade] = Counter()
    notes, start = 0, time.perf_counter()
    for file in files:
        report = check_source(read_source(str(file)), registry, config or Config())
        notes += sum(part.notes for part in report.parts)
        for item in report.findings:
            if item.rule.startswith(AREAS):
                hits[item.grade] += item.count
    return time.perf_counter() - start, notes, hits


def test_a_few_quartets_are_not_held_up() -> None:
    _, notes, hits = run(quartets("haydn"), discover())
    assert notes > 1000
    assert hits[Grade.HALT] == 0


@pytest.mark.long
def test_fewer_than_one_halt_in_five_thousand_notes() -> None:
    _, notes, hits = run(quartets(), discover())
    assert notes > 150_000
    assert hits[Grade.HALT] * 5000 < notes
    assert hits[Grade.QUERY] * 2000 < notes, "queries too are rare in music that is played"


@pytest.mark.long
def test_cost_a_note() -> None:
    """What all string rules together add to a check, derived values included; the best of two runs each."""
    files = quartets("haydn", "mozart")
    registry = discover()
    silent = Config(grades={rule.id: "off" for rule in registry.rules if rule.id.startswith(AREAS)})
    without = min(run(files, registry, silent)[0] for _ in range(2))
    seconds, notes, _ = min((run(files, registry) for _ in range(2)), key=lambda item: item[0])
    assert (seconds - without) / notes < SECONDS_A_NOTE
