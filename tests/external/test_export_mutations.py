"""Faults of exports planted at random in clean scores: what is found, and what else is said.

The scores are our clean exports and the mended demo cue (corpus/), and chorales by Bach that music21 bundles (a test-only
package), so that neither the music nor its encoding is only ours. A mutation counts as found where the rule of its kind speaks
in the mutated part at the mutated bar; anything else that was not said of the score before is a false companion.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

import pytest

from tests.corpus_files import music21_files, package_folder
from tests.external.export_mutations import KINDS, Mutation, mutate
from xmlcheck.checking import check_source
from xmlcheck.config import Config
from xmlcheck.finding import Finding
from xmlcheck.registry import Registry, discover
from xmlcheck.source import from_bytes, read_source

CORPUS = Path(__file__).parents[2] / "corpus"
RECALL, QUIET = 0.97, 0.95
CHORALES = 24


@cache
def registry() -> Registry:
    """The rules of the two plugins that speak of files and exports; mechanism rules speak of the music, which stays the same."""
    every = discover()
    return replace(
        every, rules=tuple(rule for rule in every.rules if rule.card.plugin in ("xmlcheck_export", "xmlcheck_basics"))
    )


@dataclass(frozen=True)
class Clean:
    """One clean score: bytes, what was said of it before, the lowest note of each part's instrument (MIDI numbers)."""

    name: str
    data: bytes
    said: Counter[tuple[str, str]]
    lowest: dict[str, int] = field(default_factory=dict)


@cache
def clean(path: Path) -> Clean:
    source = read_source(path)
    report = check_source(source, registry(), Config())
    lowest = {}
    for part in report.parts:
        if part.instrument:
            compass = registry().profile(part.instrument).facets.get("compass")
            if compass is not None:
                lowest[part.id] = compass.lowest.value.cents // 100
    said = Counter((finding.rule, finding.part or "") for finding in report.findings)
    return Clean(path.name, source.data, said, lowest)


def scores() -> list[Path]:
    own = [*sorted((CORPUS / "exports").glob("clean-*.musicxml")), CORPUS / "demo" / "the-crossing.clean.musicxml"]
    folder = package_folder("music21") / "corpus" / "bach"
    chorales = [path for path in music21_files() if path.is_relative_to(folder)]
    return own + chorales[:: max(1, len(chorales) // CHORALES)]


def planted(count: int, seed: int) -> Iterator[tuple[Clean, Mutation]]:
    """`count` mutations, the kinds by turns, scores and places at random."""
    chance = random.Random(seed)
    kinds = list(KINDS)
    paths = scores()
    made = 0
    while made < count:
        kind = kinds[made % len(kinds)]
        score = clean(chance.choice(paths))
        mutation = mutate(score.data, kind, chance.randrange(1 << 30), score.lowest)
        if mutation is not None:
            made += 1
            yield score, mutation


@dataclass
class Tally:
    """How many of a kind were planted, found, and found without a companion."""

    planted: int = 0
    found: int = 0
    quiet: int = 0
    missed: list[str] = field(default_factory=list)
    companions: Counter[str] = field(default_factory=Counter)


def covers(finding: Finding, mutation: Mutation) -> bool:
    if finding.part != mutation.part:
        return False
    if mutation.bar is None:
        return True
    first = finding.place.measure_index
    last = finding.place.to_measure_index
    return first is not None and first <= mutation.bar <= (last if last is not None else first)


def tried(count: int, seed: int) -> dict[str, Tally]:
    tallies = {kind: Tally() for kind in KINDS}
    for score, mutation in planted(count, seed):
        rule = KINDS[mutation.kind][0]
        report = check_source(from_bytes(mutation.data, score.name), registry(), Config())
        tally = tallies[mutation.kind]
        tally.planted += 1
        if any(finding.rule == rule and covers(finding, mutation) for finding in report.findings):
            tally.found += 1
        else:
            tally.missed.append(f"{score.name} {mutation.part} bar {mutation.bar}")
        now = Counter((finding.rule, finding.part or "") for finding in report.findings)
        others = [key for key, number in (now - score.said).items() if key[0] != rule]
        tally.quiet += not others
        tally.companions.update(key[0] for key in others)
    return tallies


def judged(tallies: dict[str, Tally]) -> tuple[float, float, str]:
    """Recall, share without companions, and the table."""
    total = sum(tally.planted for tally in tallies.values())
    lines = [
        f"{kind:10}{tally.planted:5} planted {tally.found:5} found {tally.quiet:5} alone  {dict(tally.companions)} {tally.missed[:3]}"
        for kind, tally in tallies.items()
    ]
    recall = sum(tally.found for tally in tallies.values()) / total
    quiet = sum(tally.quiet for tally in tallies.values()) / total
    return recall, quiet, "\n".join([*lines, f"recall {recall:.3f}, alone {quiet:.3f} of {total}"])


def test_a_hundred_planted_faults() -> None:
    recall, quiet, table = judged(tried(108, seed=11))
    assert recall >= RECALL, table
    assert quiet >= QUIET, table


@pytest.mark.long
def test_a_thousand_planted_faults(capsys: pytest.CaptureFixture[str]) -> None:
    recall, quiet, table = judged(tried(1_008, seed=1899))
    with capsys.disabled():
        print(f"\n{table}")
    assert recall >= RECALL, table
    assert quiet >= QUIET, table
